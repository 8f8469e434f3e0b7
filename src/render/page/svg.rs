//! A page as SVG, with its part of the font inside.

use super::drawing::{Drawing, Item, Path, TextRun};
use super::font::Face;
use super::pages::Pages;
use super::paper::POINTS_PER_MM;
use super::subset::Subset;
use crate::render::number::rounded;
use crate::render::visible_page;
use std::fmt::Write;

impl Pages {
    /// Writes one page as an SVG file of true size; `None` where there is no such page. Pages count from 0.
    pub fn svg(&self, page: usize) -> Option<String> {
        let drawing = self.pages.get(page)?;
        let (width, height) = self.size();
        let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
        let _ = writeln!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {} {}\">",
            number(width / POINTS_PER_MM),
            number(height / POINTS_PER_MM),
            number(width),
            number(height)
        );
        let _ = writeln!(out, "<title>{}</title>", escaped(&self.title));
        let fonts = Pages::fonts(std::slice::from_ref(drawing));
        let _ = writeln!(out, "<style>{}</style>", font_faces(&fonts));
        let _ = writeln!(
            out,
            "<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>",
            number(width),
            number(height)
        );
        items(&mut out, drawing);
        out.push_str("</svg>\n");
        Some(out)
    }
}

/// Writes the things of a drawing as SVG elements.
pub(super) fn items(out: &mut String, drawing: &Drawing) {
    for item in &drawing.items {
        match item {
            Item::Text(run) => text(out, run),
            Item::Path(path) => outline(out, path),
        }
    }
}

fn text(out: &mut String, run: &TextRun) {
    let weight = match run.face {
        Face::Plain => "",
        Face::Bold => " font-weight=\"700\"",
    };
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-family=\"{FAMILY}\" font-size=\"{}\"{weight}>{}</text>",
        number(run.x),
        number(run.y),
        number(run.size),
        escaped(&run.text)
    );
}

fn outline(out: &mut String, path: &Path) {
    let mut data = String::new();
    for piece in &path.pieces {
        let (letter, points) = piece.parts();
        let places = points.iter().flat_map(|point| [point.x, point.y]);
        let places: Vec<String> = places.map(number).collect();
        let _ = write!(data, "{letter}{}", places.join(" "));
    }
    let fill = path.pen.fill.map_or_else(|| "none".to_owned(), tone);
    let mut stroke = String::new();
    if path.pen.width > 0.0 {
        let _ = write!(
            stroke,
            " stroke=\"#000\" stroke-width=\"{}\"",
            number(path.pen.width)
        );
    }
    if path.pen.dash > 0.0 {
        let _ = write!(stroke, " stroke-dasharray=\"{}\"", number(path.pen.dash));
    }
    let _ = writeln!(
        out,
        "<path d=\"{data}\" fill=\"{fill}\" fill-rule=\"evenodd\"{stroke}/>"
    );
}

/// The name under which a page knows the embedded font.
pub(super) const FAMILY: &str = "sheet";

/// Writes the style rules that carry the fonts.
pub(super) fn font_faces(fonts: &[Subset]) -> String {
    let mut rules = String::new();
    for font in fonts {
        let weight = match font.face {
            Face::Plain => 400,
            Face::Bold => 700,
        };
        let _ = write!(
            rules,
            "@font-face{{font-family:{FAMILY};font-weight:{weight};src:url(data:font/ttf;base64,{}) format(\"truetype\")}}",
            base64(&font.file())
        );
    }
    rules
}

fn tone(tone: f64) -> String {
    const FULL: f64 = 255.0;
    let level = rounded(tone.clamp(0.0, 1.0) * FULL, 0);
    format!("rgb({level},{level},{level})")
}

/// Writes a coordinate to the ten-thousandth of a point.
pub(in crate::render) fn number(value: f64) -> String {
    rounded(value, 4).to_string()
}

/// Makes a text safe inside an element or a quoted attribute; hidden characters are written as their codes, because XML admits
/// not all of them.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in visible_page(text).chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}

/// Writes bytes in base 64 (RFC 4648, section 4).
pub(in crate::render) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |at: usize| three.get(at).copied().map_or(0, u32::from);
        let whole = byte(0) << 16 | byte(1) << 8 | byte(2);
        for (at, shift) in [18, 12, 6, 0].into_iter().enumerate() {
            let letter = LETTERS[(whole >> shift & 63) as usize];
            out.push(if at <= three.len() {
                char::from(letter)
            } else {
                '='
            });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_is_that_of_the_standard() {
        // RFC 4648, section 10.
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn a_hostile_name_stays_text() {
        assert_eq!(
            escaped("<script>\"a\" & 'b'"),
            "&lt;script&gt;&quot;a&quot; &amp; &#39;b&#39;"
        );
    }

    /// XML 1.0, production 2 (Char).
    #[test]
    fn what_xml_does_not_admit_is_written_as_its_code() {
        assert_eq!(
            escaped("Tarn\u{fffe}\u{1}\u{ffff}\u{ad} 2"),
            "Tarn\\u{fffe}\\u{1}\\u{ffff}\\u{ad} 2"
        );
    }
}
