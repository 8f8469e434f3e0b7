//! Labels: text that is read without any program, and a code that holds the same.

use crate::app::label_set::LabelSet;
use crate::core::book::{Label, LabelKind};
use crate::core::caution::Caution;
use crate::render::page::{
    Drawing, Frame, LEADING, Pages, Pen, Qr, QrTooLong, Type, Web, points, wrapped,
};

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
        /// Columns.
        columns: usize,
        /// Rows.
        rows: usize,
        /// Width of a label.
        width: f64,
        /// Height of a label.
        height: f64,
    },
    /// A label is too small for its text.
    #[error(
        "the text of the label {label:?} does not fit {width} × {height} mm in the smallest print: take larger labels"
    )]
    Small {
        /// The label, by its first field.
        label: String,
        /// Width of a label.
        width: f64,
        /// Height of a label.
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
            let (column, row) = (at % columns, at / columns);
            let place = |margin: f64, step: f64, at: usize| points(margin + step * at as f64);
            let corner = if layout.grid.is_some() {
                (
                    place(layout.margin.0, layout.size.0 + layout.gap.0, column),
                    place(layout.margin.1, layout.size.1 + layout.gap.1, row),
                )
            } else {
                (0.0, 0.0)
            };
            let first = page.items.len();
            one_label(&mut page, label, (corner, (width, height)))?;
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
    let joined = |names: &[&str], between: &str| {
        let words: Vec<&str> = names
            .iter()
            .map(|n| field(n))
            .filter(|w| !w.is_empty())
            .collect();
        words.join(between)
    };
    let dimensions = match (label.field("id"), label.field("cs")) {
        (Some(id), Some(cs)) => format!("{id} × {cs} mm"),
        _ => String::new(),
    };
    let count = label
        .field("qty")
        .map_or_else(String::new, |qty| match qty {
            "1" => "1 piece".to_owned(),
            many => format!("{many} pieces"),
        });
    let title = match label.field("size") {
        Some(size) => size.to_owned(),
        None if label.kind == LabelKind::Unit => field("unit").to_owned(),
        None => field("part").to_owned(),
    };
    let line = label
        .field("line")
        .map_or_else(String::new, |line| format!("line {line}"));
    let rating = label
        .field("rated")
        .map_or_else(String::new, |rated| format!("rated {rated}"));
    let rated = [field("gas").to_owned(), rating];
    let rated = rated
        .into_iter()
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" · ");
    let named = |word: &str, name: &str| match label.field(name) {
        Some(value) => format!("{word} {value}"),
        None => String::new(),
    };
    let of_unit = match label.kind {
        LabelKind::Unit => String::new(),
        _ => named("for unit", "unit"),
    };
    let words = [
        joined(&["state"], ""),
        dimensions,
        joined(&["of"], ""),
        joined(&["also"], ""),
        named("bin", "bin"),
        named("lot", "lot"),
        named("cured", "cured"),
        named("use before", "before"),
        joined(&["part", "at"], " "),
        joined(&["model", "section", "variant"], " · "),
        of_unit,
        [line, count]
            .into_iter()
            .filter(|w| !w.is_empty())
            .collect::<Vec<_>>()
            .join(" · "),
        joined(&["owner", "for"], " · "),
        rated,
        joined(&["day"], ""),
    ];
    (title, words.into_iter().filter(|w| !w.is_empty()).collect())
}

type Area = ((f64, f64), (f64, f64));

fn one_label(
    page: &mut Drawing,
    label: &Label,
    ((left, top), (width, height)): Area,
) -> Result<(), LabelFault> {
    let code = Qr::new(&label.plain())?;
    page.rectangle((left, top), (width, height), Pen::line(0.25));
    let side = (points(MODULE_MM) * code.side() as f64)
        .min(height - PAD)
        .min(width * 0.45);
    // The white margin that a reader needs belongs to the code; the frame of the label may run along it.
    code.draw(page, (left + width - side, top), side);
    let room = (width - side - 1.5 * PAD, height - 2.0 * PAD);
    let (title, words) = lines_of(label);
    for size in SIZES {
        let (large, plain) = (Type::bold(size * 1.3), Type::plain(size));
        let mut lines: Vec<(Type, String)> = Vec::new();
        lines.extend(
            wrapped(&title, large, room.0)
                .into_iter()
                .map(|l| (large, l)),
        );
        for text in &words {
            let style = if text == "NOT DECIDED" {
                Type::bold(size)
            } else {
                plain
            };
            lines.extend(wrapped(text, style, room.0).into_iter().map(|l| (style, l)));
        }
        let small = Type::plain(CAUTION.min(size));
        lines.extend(
            wrapped(Caution::Row.words(), small, room.0)
                .into_iter()
                .map(|l| (small, l)),
        );
        let high: f64 = lines.iter().map(|(style, _)| style.size * LEADING).sum();
        if high <= room.1 {
            let mut y = top + PAD;
            for (style, line) in lines {
                page.text((left + PAD, y + style.size), style, &line);
                y += style.size * LEADING;
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
    let mut y = points(EDGE_MM) + SMALL;
    for line in wrapped(&head, style, measure) {
        if y <= points(layout.margin.1) {
            page.text((left, y), style, &line);
        }
        y += SMALL * LEADING;
    }
    let mut y = foot + SMALL * LEADING;
    for line in below.into_iter().flatten() {
        page.text((left, y), style, &line);
        y += SMALL * LEADING;
    }
}

fn head_words(frame: &Frame, layout: LabelLayout, number: usize, count: usize) -> String {
    let book = frame
        .book
        .as_ref()
        .map_or_else(String::new, |book| format!(" · book {book}"));
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
