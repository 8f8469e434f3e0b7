//! A sheet as PDF (ISO 32000-1), with its part of the font embedded.
//!
//! Nothing but the pages decides the bytes: no clock, no random name.

use super::drawing::{Drawing, Item, Path, Pen, Piece, TextRun};
use super::font::{Face, u16_at};
use super::pages::Pages;
use super::subset::Subset;
use crate::render::visible;
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

/// Height of capitals in thousandths of the size: DejaVu 2.37 draws H 1493 units high of 2048.
const CAPITALS: f32 = 729.0;
/// Objects that one embedded face takes.
const OBJECTS_A_FACE: i32 = 5;
/// How hard streams are packed, 0 to 10; higher gains little.
const PACKING: u8 = 6;
/// No registered collection of characters: glyph numbers are those of the embedded font.
const IDENTITY: SystemInfo<'static> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// Narrows to the numbers of a PDF, which are good to a thousandth of a point.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a PDF holds coordinates as f32; on a page that is a millionth of the width"
)]
fn real(value: f64) -> f32 {
    value as f32
}

impl Pages {
    /// Writes the sheet as a PDF file.
    pub fn pdf(&self) -> Vec<u8> {
        let fonts = Pages::fonts(&self.pages);
        let (catalog, tree, info) = (Ref::new(1), Ref::new(2), Ref::new(3));
        let first_font = 4;
        let face_count = i32::try_from(fonts.len()).unwrap_or(0);
        let first_page = first_font + OBJECTS_A_FACE * face_count;
        let page_count = i32::try_from(self.pages.len()).unwrap_or(0);
        let page_ref = |at: i32| Ref::new(first_page + 2 * at);
        let mut pdf = Pdf::new();
        pdf.set_version(1, 7);
        let mut root = pdf.catalog(catalog);
        root.pages(tree).lang(TextStr("en"));
        root.viewer_preferences().display_doc_title(true);
        root.finish();
        pdf.document_info(info)
            .title(TextStr(&visible(&self.title)))
            .producer(TextStr("ringwright"));
        pdf.pages(tree)
            .kids((0..page_count).map(page_ref))
            .count(page_count);
        for (at, subset) in (0..).zip(&fonts) {
            font(&mut pdf, first_font + OBJECTS_A_FACE * at, subset);
        }
        let (width, height) = self.size();
        for (at, drawing) in (0..).zip(&self.pages) {
            let id = page_ref(at);
            let content = Ref::new(id.get() + 1);
            let mut page = pdf.page(id);
            page.parent(tree)
                .media_box(Rect::new(0.0, 0.0, real(width), real(height)))
                .contents(content);
            let mut resources = page.resources();
            let mut faces = resources.fonts();
            for (at, subset) in (0..).zip(&fonts) {
                let object = Ref::new(first_font + OBJECTS_A_FACE * at);
                faces.pair(name_of(subset.face), object);
            }
            faces.finish();
            resources.finish();
            page.finish();
            let packed = packed(&page_content(drawing, &fonts, height));
            pdf.stream(content, &packed).filter(Filter::FlateDecode);
        }
        pdf.finish()
    }
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, PACKING)
}

fn name_of(face: Face) -> Name<'static> {
    match face {
        Face::Plain => Name(b"F0"),
        Face::Bold => Name(b"F1"),
    }
}

fn font(pdf: &mut Pdf, first: i32, subset: &Subset) {
    let object = |at: i32| Ref::new(first + at);
    let (whole, by_glyph, descriptor, map, file) =
        (object(0), object(1), object(2), object(3), object(4));
    let called = format!("{}+{}", tag(subset), subset.face.name());
    let called = Name(called.as_bytes());
    pdf.type0_font(whole)
        .base_font(called)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(by_glyph)
        .to_unicode(map);
    let mut cid = pdf.cid_font(by_glyph);
    cid.subtype(CidFontType::Type2)
        .base_font(called)
        .system_info(IDENTITY)
        .font_descriptor(descriptor)
        .default_width(0.0)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    cid.widths().consecutive(0, subset.widths().map(real));
    cid.finish();
    let font = subset.face.font();
    let thousandths = |bytes: &[u8], at: usize| {
        let units = u16_at(bytes, at).cast_signed();
        real(f64::from(units) * 1000.0 / font.units_per_em)
    };
    let (head, hhea) = (font.table(*b"head"), font.table(*b"hhea"));
    let edge = |at: usize| thousandths(head, at);
    // Width of upright stems in thousandths: 200 and 380 units.
    let stems = match subset.face {
        Face::Plain => 98.0,
        Face::Bold => 186.0,
    };
    pdf.font_descriptor(descriptor)
        .name(called)
        .flags(FontFlags::SYMBOLIC)
        .bbox(Rect::new(edge(36), edge(38), edge(40), edge(42)))
        .italic_angle(0.0)
        .ascent(thousandths(hhea, 4))
        .descent(thousandths(hhea, 6))
        .cap_height(CAPITALS)
        .stem_v(stems)
        .font_file2(file);
    let mut unicode = UnicodeCmap::new(Name(b"Custom"), IDENTITY);
    for (character, glyph) in subset.characters() {
        unicode.pair(glyph, character);
    }
    let unicode = packed(&unicode.finish());
    pdf.stream(map, &unicode).filter(Filter::FlateDecode);
    let bytes = subset.file();
    let length = i32::try_from(bytes.len()).unwrap_or(i32::MAX);
    let bytes = packed(&bytes);
    let mut stream = pdf.stream(file, &bytes);
    stream.filter(Filter::FlateDecode);
    stream.pair(Name(b"Length1"), length);
}

/// Six letters that tell this subset from others of the face, made of its characters.
fn tag(subset: &Subset) -> String {
    const LETTERS: u64 = 26;
    let mut sum = subset.characters().fold(0_u64, |sum, (c, _)| {
        (sum ^ u64::from(u32::from(c))).wrapping_mul(0x0100_0000_01b3)
    });
    (0..6)
        .map(|_| {
            let letter = u8::try_from(sum % LETTERS).unwrap_or(0);
            sum /= LETTERS;
            char::from(b'A' + letter)
        })
        .collect()
}

fn page_content(drawing: &Drawing, fonts: &[Subset], height: f64) -> Vec<u8> {
    let mut content = Content::new();
    for item in &drawing.items {
        match item {
            Item::Text(run) => text(&mut content, run, fonts, height),
            Item::Path(path) => outline(&mut content, path, height),
        }
    }
    content.finish().to_vec()
}

fn text(content: &mut Content, run: &TextRun, fonts: &[Subset], height: f64) {
    let Some(subset) = fonts.iter().find(|subset| subset.face == run.face) else {
        return;
    };
    let glyphs: Vec<u8> = run
        .text
        .chars()
        .flat_map(|c| subset.glyph(c).to_be_bytes())
        .collect();
    content
        .begin_text()
        .set_fill_gray(0.0)
        .set_font(name_of(run.face), real(run.size))
        .set_text_matrix([1.0, 0.0, 0.0, 1.0, real(run.x), real(height - run.y)])
        .show(Str(&glyphs))
        .end_text();
}

fn outline(content: &mut Content, path: &Path, height: f64) {
    let up = |y: f64| real(height - y);
    let Pen { width, dash, fill } = path.pen;
    if width > 0.0 {
        content.set_stroke_gray(0.0).set_line_width(real(width));
        let dashes = [real(dash), real(dash)];
        content.set_dash_pattern(
            if dash > 0.0 { dashes } else { [0.0; 2] }
                .into_iter()
                .filter(|d| *d > 0.0),
            0.0,
        );
    }
    if let Some(tone) = fill {
        content.set_fill_gray(real(tone));
    }
    for piece in &path.pieces {
        match *piece {
            Piece::Move(to) => content.move_to(real(to.x), up(to.y)),
            Piece::Line(to) => content.line_to(real(to.x), up(to.y)),
            Piece::Curve([a, b, to]) => {
                content.cubic_to(real(a.x), up(a.y), real(b.x), up(b.y), real(to.x), up(to.y))
            }
            Piece::Close => content.close_path(),
        };
    }
    match (fill.is_some(), width > 0.0) {
        (true, true) => content.fill_even_odd_and_stroke(),
        (true, false) => content.fill_even_odd(),
        (false, true) => content.stroke(),
        (false, false) => content.end_path(),
    };
}
