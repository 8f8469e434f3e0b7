//! Labels: text that is read without any program, and a code that holds the same.

use crate::app::sheet::label_set::LabelSet;
use crate::core::book::{Label, LabelKind};
use crate::core::caution::Caution;
use crate::render::page::{
    Drawing, Frame, LEADING, Pages, Pen, Point, Qr, QrTooLong, Rect, Type, Web, points, wrapped,
};
use crate::render::words::joined;

/// Says how labels lie: on a sheet, or one a page. All in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelLayout {
    /// Width and height of a label.
    pub size: (f64, f64),
    /// Columns and rows; `None` for one label a page, as a label printer takes them.
    pub grid: Option<(usize, usize)>,
    /// Margins of the sheet, left and top.
    pub margin: (f64, f64),
    /// Space between labels, across and down.
    pub gap: (f64, f64),
}

impl LabelLayout {
    /// The layout where none is stated: two columns of six labels of 85 × 40 mm, which fits A4 and Letter.
    pub const PLAIN: Self = Self {
        size: (85.0, 40.0),
        grid: Some((2, 6)),
        margin: (18.0, 18.0),
        gap: (4.0, 1.0),
    };
}

/// Says why labels cannot be laid out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LabelFault {
    /// The grid does not fit the paper.
    #[error(
        "{columns} columns and {rows} rows of {width} × {height} mm with these margins do not fit the paper: take fewer, smaller ones or other margins"
    )]
    Grid {
        columns: usize,
        rows: usize,
        width: f64,
        height: f64,
    },
    /// A label is too small for its text.
    #[error(
        "the text of the label {label:?} does not fit {width} × {height} mm in the smallest print: take larger labels"
    )]
    Small {
        /// The label, by its first field.
        label: String,
        width: f64,
        height: f64,
    },
    /// A label's text is too long for a code.
    #[error(transparent)]
    Long(#[from] QrTooLong),
}

/// Print of labels, the largest that fits is taken; smaller is not read on a bag.
const SIZES: [f64; 8] = [11.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.5, 5.0];
/// Side of a module of the code, which a telephone reads at arm's length and a label printer of 203 dpi prints in three dots.
const MODULE_MM: f64 = 0.38;
const CAUTION: f64 = 5.0;
const PAD: f64 = 4.0;

/// Lays out labels.
///
/// # Errors
/// The grid does not fit the paper, a label is too small for its text, or a text too long for a code.
pub fn labels(set: &LabelSet, frame: &Frame, layout: LabelLayout) -> Result<Pages, LabelFault> {
    let (width, height) = (points(layout.size.0), points(layout.size.1));
    let (columns, rows) = layout.grid.unwrap_or((1, 1));
    if layout.grid.is_some() {
        check_grid(frame, layout, columns, rows)?;
    }
    let on_page = columns * rows;
    let mut pages = Vec::new();
    let mut labels = Vec::new();
    for chunk in set.labels.chunks(on_page.max(1)) {
        let mut page = Drawing::default();
        for (at, label) in chunk.iter().enumerate() {
            let place = |margin: f64, step: f64, at: usize| points(margin + step * at as f64);
            let corner = layout.grid.map_or(Point::default(), |_| {
                Point::new(
                    place(layout.margin.0, layout.size.0 + layout.gap.0, at % columns),
                    place(layout.margin.1, layout.size.1 + layout.gap.1, at / columns),
                )
            });
            let first = page.items.len();
            one_label(&mut page, label, Rect::new(corner, width, height))?;
            let items = page.items[first..].to_vec();
            labels.push((Drawing { items }, label.plain()));
        }
        pages.push(page);
    }
    let count = pages.len();
    if layout.grid.is_some() {
        for (at, page) in pages.iter_mut().enumerate() {
            margins(page, frame, layout, at + 1, count);
        }
    }
    Ok(Pages {
        title: format!("{}: {}", frame.kind, frame.title),
        paper: frame.paper,
        screen: Web::of_pictures(&labels, frame),
        own_size: layout.grid.is_none().then_some((width, height)),
        pages,
    })
}

fn check_grid(
    frame: &Frame,
    layout: LabelLayout,
    columns: usize,
    rows: usize,
) -> Result<(), LabelFault> {
    let across = |size: f64, gap: f64, count: usize| {
        size * count as f64 + gap * count.saturating_sub(1) as f64
    };
    let (wide, high) = frame.paper.mm();
    let fits = columns > 0
        && rows > 0
        && layout.margin.0 + across(layout.size.0, layout.gap.0, columns) <= wide
        && layout.margin.1 + across(layout.size.1, layout.gap.1, rows) <= high;
    if fits {
        return Ok(());
    }
    Err(LabelFault::Grid {
        columns,
        rows,
        width: layout.size.0,
        height: layout.size.1,
    })
}

/// The words of a label, first the ones that are read from afar.
fn lines_of(label: &Label) -> (String, Vec<String>) {
    let field = |name: &str| label.field(name).unwrap_or_default();
    let fields = |names: &[&str], between: &str| joined(names.iter().map(|n| field(n)), between);
    let named = |word: &str, name: &str| {
        let value = label.field(name);
        value.map_or_else(String::new, |value| format!("{word} {value}"))
    };
    let dimensions = match (label.field("id"), label.field("cs")) {
        (Some(id), Some(cs)) => format!("{id} × {cs} mm"),
        _ => String::new(),
    };
    let count = match field("qty") {
        "" => String::new(),
        "1" => "1 piece".to_owned(),
        many => format!("{many} pieces"),
    };
    let title = match label.field("size") {
        Some(size) => size,
        None if label.kind == LabelKind::Unit => field("unit"),
        None => field("part"),
    };
    let of_unit = match label.kind {
        LabelKind::Unit => String::new(),
        _ => named("for unit", "unit"),
    };
    let words = [
        fields(&["state"], ""),
        dimensions,
        fields(&["of"], ""),
        fields(&["also"], ""),
        named("bin", "bin"),
        named("lot", "lot"),
        named("cured", "cured"),
        named("use before", "before"),
        fields(&["part", "at"], " "),
        fields(&["model", "section", "variant"], " · "),
        of_unit,
        joined([named("line", "line"), count], " · "),
        fields(&["owner", "for"], " · "),
        joined([field("gas"), &named("rated", "rated")], " · "),
        fields(&["day"], ""),
    ];
    let words = words.into_iter().filter(|w| !w.is_empty()).collect();
    (title.to_owned(), words)
}

fn one_label(page: &mut Drawing, label: &Label, area: Rect) -> Result<(), LabelFault> {
    let Rect {
        corner,
        width,
        height,
    } = area;
    let code = Qr::new(&label.plain())?;
    page.rectangle(area, Pen::line(0.25));
    let side = (points(MODULE_MM) * code.side() as f64)
        .min(height - PAD)
        .min(width * 0.45);
    // The white margin that a reader needs belongs to the code; the frame of the label may run along it.
    code.draw(page, corner.by(width - side, 0.0), side);
    let (wide, high) = (width - side - 1.5 * PAD, height - 2.0 * PAD);
    let (title, words) = lines_of(label);
    for size in SIZES {
        let style = |text: &str| match text {
            "NOT DECIDED" => Type::bold(size),
            _ => Type::plain(size),
        };
        let title = [(Type::bold(size * 1.3), title.as_str())];
        let words = words.iter().map(|text| (style(text), text.as_str()));
        let caution = [(Type::plain(CAUTION.min(size)), Caution::Row.words())];
        let texts = title.into_iter().chain(words).chain(caution);
        let lines: Vec<(Type, String)> = texts
            .flat_map(|(style, text)| {
                let lines = wrapped(text, style, wide).into_iter();
                lines.map(move |line| (style, line))
            })
            .collect();
        let set: f64 = lines.iter().map(|(style, _)| style.size * LEADING).sum();
        if set <= high {
            let mut at = corner.by(PAD, PAD);
            for (style, line) in lines {
                page.text(at.by(0.0, style.size), style, &line);
                at.y += style.size * LEADING;
            }
            return Ok(());
        }
    }
    Err(LabelFault::Small {
        label: title,
        width: rounded_mm(width),
        height: rounded_mm(height),
    })
}

fn rounded_mm(value: f64) -> f64 {
    crate::render::rounded(value / points(1.0), 1)
}

/// Writes what stands on every page into the margins: the whole caution below the labels; where these leave no room for it, the
/// short one; where they leave none at all, the short one stands above, before the rest. Each label carries it as well.
fn margins(page: &mut Drawing, frame: &Frame, layout: LabelLayout, number: usize, count: usize) {
    const SMALL: f64 = 6.0;
    const EDGE_MM: f64 = 5.0;
    let (width, height) = frame.paper.points();
    let style = Type::plain(SMALL);
    let left = points(layout.margin.0.max(EDGE_MM));
    let measure = width - points(EDGE_MM) - left;
    let rows = layout.grid.map_or(1, |(_, rows)| rows) as f64;
    let foot = points(layout.margin.1 + layout.size.1 * rows + layout.gap.1 * (rows - 1.0));
    let room = height - foot - points(EDGE_MM) / 2.0;
    let below = [Caution::Standing, Caution::Row]
        .map(|caution| wrapped(caution.words(), style, measure))
        .into_iter()
        .find(|lines| SMALL * LEADING * lines.len() as f64 <= room);
    let mut head = head_words(frame, layout, number, count);
    if below.is_none() {
        head = format!("{} · {head}", Caution::Row.words());
    }
    let mut at = Point::new(left, points(EDGE_MM) + SMALL);
    for line in wrapped(&head, style, measure) {
        if at.y <= points(layout.margin.1) {
            page.text(at, style, &line);
        }
        at.y += SMALL * LEADING;
    }
    at.y = foot + SMALL * LEADING;
    page.lines(at, style, below.iter().flatten());
}

fn head_words(frame: &Frame, layout: LabelLayout, number: usize, count: usize) -> String {
    let book = frame.of_book();
    format!(
        "{} · {}{book} · {} · {} · page {number} of {count} · labels {} × {} mm, margins {} left and {} mm top",
        frame.kind,
        frame.title,
        frame.date,
        Frame::made_with(),
        layout.size.0,
        layout.size.1,
        layout.margin.0,
        layout.margin.1,
    )
}
