//! The layout engine: puts blocks under each other, breaks pages, and frames every page.

use super::drawing::{Anchor, Drawing, Pen, Type};
use super::frame::Frame;
use super::geometry::{Point, Rect};
use super::grid::Grid;
use super::pages::Pages;
use super::paper::points;
use super::web::Web;
use super::wrapped::{LEADING, wrapped};
use crate::core::caution::Caution;
use crate::core::quantity::Length;

/// Margin to each side of the paper, in millimetres; more than the unprintable edge of common printers.
const SIDE_MM: f64 = 18.0;
/// Margin above and below.
const EDGE_MM: f64 = 12.0;
/// Size of running text, in points.
pub const BODY: f64 = 9.0;
/// Size of small print.
pub const SMALL: f64 = 7.5;
const TITLE: f64 = 17.0;
const HEADING: f64 = 11.0;
const HAIR: f64 = 0.4;

/// Lays out a sheet page by page.
#[derive(Debug)]
pub struct Flow {
    frame: Frame,
    pages: Vec<Drawing>,
    y: f64,
    top: f64,
    bottom: f64,
    size: (f64, f64),
    /// The same for a screen, which has no pages.
    screen: Web,
    picture: Option<Taken>,
    title: String,
}

/// Where a picture begins that a sheet draws for itself.
#[derive(Debug)]
struct Taken {
    page: usize,
    first_item: usize,
}

impl Flow {
    /// Begins a sheet with its title.
    pub fn new(frame: Frame) -> Self {
        let size = frame.paper.points();
        let left = points(SIDE_MM);
        let width = size.0 - 2.0 * left;
        let caution = wrapped(Caution::Standing.words(), Type::plain(SMALL), width).len() as f64;
        let head = wrapped(&head_words(&frame), Type::plain(SMALL), width).len() as f64;
        let small = SMALL * LEADING;
        let mut flow = Self {
            y: 0.0,
            top: points(EDGE_MM) + small * head + SMALL,
            bottom: size.1 - points(EDGE_MM) - small * (caution + 1.0) - SMALL,
            pages: Vec::new(),
            size,
            screen: Web::default(),
            picture: None,
            title: frame.title.clone(),
            frame,
        };
        flow.new_page();
        let title = flow.frame.title.clone();
        flow.lines(&title, Type::bold(TITLE), 0.0);
        flow.space(TITLE / 3.0);
        flow
    }

    /// Returns what stands on every page.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// Returns how long a length in true size is on the paper, in points.
    pub fn true_size(&self, length: Length) -> f64 {
        self.frame.printer.points(length.mm())
    }

    /// Returns the left edge of the content.
    pub fn left(&self) -> f64 {
        points(SIDE_MM)
    }

    /// Returns the width of the content.
    pub fn width(&self) -> f64 {
        self.size.0 - 2.0 * self.left()
    }

    /// Returns the height of the content of a whole page.
    pub fn page_height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Returns the height that is left on this page.
    pub fn room(&self) -> f64 {
        self.bottom - self.y
    }

    /// Begins a new page.
    pub fn new_page(&mut self) {
        self.pages.push(Drawing::default());
        self.y = self.top;
    }

    /// Goes to a new page unless this height is left on the present one, or it has no content yet.
    pub fn need(&mut self, height: f64) {
        if self.room() < height && self.y > self.top {
            self.new_page();
        }
    }

    /// Leaves a space, which a page break swallows.
    pub fn space(&mut self, height: f64) {
        self.y = (self.y + height).min(self.bottom);
    }

    /// Takes a height for a picture, on a new page where this one has no room, and returns its upper edge.
    pub fn take(&mut self, height: f64) -> f64 {
        self.screen();
        let top = self.advance(height);
        let page = self.pages.len() - 1;
        let first_item = self.pages[page].items.len();
        self.picture = Some(Taken { page, first_item });
        top
    }

    /// Returns the screen, with what the sheet has drawn for itself shown on it.
    fn screen(&mut self) -> &mut Web {
        if let Some(taken) = self.picture.take() {
            let items = self.pages[taken.page].items[taken.first_item..].to_vec();
            self.screen.picture(&Drawing { items }, &self.title);
        }
        &mut self.screen
    }

    /// Takes a height, on a new page where this one has no room, and returns its upper edge.
    pub(super) fn advance(&mut self, height: f64) -> f64 {
        self.need(height);
        let top = self.y;
        self.y += height;
        top
    }

    /// Returns the page to draw on.
    pub fn drawing(&mut self) -> &mut Drawing {
        if self.pages.is_empty() {
            self.new_page();
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// Sets a text in lines, so far from the left edge.
    fn lines(&mut self, text: &str, style: Type, indent: f64) {
        for line in wrapped(text, style, self.width() - indent) {
            let top = self.advance(style.size * LEADING);
            let at = Point::new(self.left() + indent, top + style.size);
            self.drawing().text(at, style, &line);
        }
    }

    /// Adds a heading, which never stands alone at the foot of a page.
    pub fn heading(&mut self, text: &str) {
        // The heading, the heads of a table and a row of five lines.
        const FOLLOWED_BY: f64 = 110.0;
        self.screen().section(2, text);
        text.clone_into(&mut self.title);
        self.space(HEADING);
        self.need(FOLLOWED_BY);
        self.lines(text, Type::bold(HEADING), 0.0);
        self.space(HEADING / 4.0);
    }

    /// Adds a paragraph.
    pub fn text(&mut self, text: &str) {
        self.screen().text(text);
        self.lines(text, Type::plain(BODY), 0.0);
        self.space(BODY / 2.0);
    }

    /// Adds a bold line that leads what follows, and does not stand alone at the foot of a page.
    pub fn lead(&mut self, text: &str) {
        const FOLLOWED_BY: f64 = 36.0;
        self.screen().lead(text);
        self.need(FOLLOWED_BY);
        self.lines(text, Type::bold(BODY), 0.0);
        self.space(BODY / 6.0);
    }

    /// Adds a paragraph in small print.
    pub fn small(&mut self, text: &str) {
        self.screen().text(text);
        self.lines(text, Type::plain(SMALL), 0.0);
        self.space(SMALL / 2.0);
    }

    /// Adds points under each other.
    pub fn list<P: AsRef<str>>(&mut self, points: impl IntoIterator<Item = P>) {
        const INDENT: f64 = 10.0;
        let style = Type::plain(BODY);
        let points: Vec<P> = points.into_iter().collect();
        self.screen().list(&points);
        for point in points {
            self.need(BODY * LEADING);
            let at = Point::new(self.left(), self.y + BODY);
            self.drawing().text(at, style, "–");
            self.lines(point.as_ref(), style, INDENT);
        }
        self.space(BODY / 2.0);
    }

    /// Adds a caution: bold, with a heavy bar beside it.
    pub fn caution(&mut self, text: &str) {
        const INDENT: f64 = 8.0;
        const BAR: f64 = 3.0;
        self.screen().caution(text);
        let style = Type::bold(BODY);
        let lines = wrapped(text, style, self.width() - INDENT);
        self.space(BODY / 3.0);
        for line in lines {
            let high = BODY * LEADING;
            let corner = Point::new(self.left(), self.advance(high));
            let drawing = self.drawing();
            drawing.rectangle(Rect::new(corner, BAR, high), Pen::fill(0.0));
            drawing.text(corner.by(INDENT, BODY), style, &line);
        }
        self.space(BODY / 2.0);
    }

    /// Adds a line in a heavy frame, which says at a glance how a thing stands.
    pub fn status(&mut self, words: &str) {
        const SIZE: f64 = 12.0;
        const PAD: f64 = 6.0;
        self.screen().status(words);
        let style = Type::bold(SIZE);
        let lines = wrapped(words, style, self.width() - 2.0 * PAD);
        let high = SIZE * LEADING * lines.len() as f64 + 2.0 * PAD;
        let corner = Point::new(self.left(), self.advance(high));
        let width = self.width();
        let drawing = self.drawing();
        drawing.rectangle(Rect::new(corner, width, high), Pen::line(1.6));
        drawing.lines(corner.by(PAD, PAD + SIZE - 1.0), style, &lines);
        self.space(SIZE / 2.0);
    }

    /// Adds the cautions of a report but the standing one, which the frame says on every page.
    pub fn cautions(&mut self, cautions: &[Caution]) {
        for caution in cautions.iter().filter(|one| **one != Caution::Standing) {
            self.caution(caution.words());
        }
    }

    pub(super) fn screen_table(&mut self, grid: &Grid) {
        let heads = grid.heads.iter().map(|head| head.text.as_str());
        let heads: Vec<&str> = heads.collect();
        self.screen().table("", &heads, &grid.rows_on_screen());
    }

    /// Frames every page and gives the finished sheet.
    pub fn finish(mut self) -> Pages {
        self.screen();
        let count = self.pages.len();
        let mut pages = std::mem::take(&mut self.pages);
        for (at, page) in pages.iter_mut().enumerate() {
            self.frame_page(page, &format!("page {} of {count}", at + 1));
        }
        Pages {
            title: format!("{}: {}", self.frame.kind, self.frame.title),
            paper: self.frame.paper,
            own_size: None,
            screen: std::mem::take(&mut self.screen).screen(&self.frame),
            pages,
        }
    }

    fn frame_page(&self, page: &mut Drawing, number: &str) {
        let (left, right) = (self.left(), self.left() + self.width());
        let style = Type::plain(SMALL);
        let rule = |page: &mut Drawing, y: f64| {
            page.line(Point::new(left, y), Point::new(right, y), Pen::line(HAIR));
        };
        let lines = |page: &mut Drawing, y: f64, text: &str| {
            let lines = wrapped(text, style, right - left);
            page.lines(Point::new(left, y), style, &lines).y
        };
        let y = lines(page, points(EDGE_MM) + SMALL, &head_words(&self.frame));
        rule(page, y - SMALL / 2.0);
        let y = self.bottom + SMALL;
        rule(page, y);
        let y = lines(page, y + SMALL * LEADING, Caution::Standing.words());
        let made = format!("{} · {}", self.frame.date, Frame::made_with());
        page.text(Point::new(left, y), style, &made);
        page.text(Point::new(right, y), style.at(Anchor::Right), number);
    }
}

/// What stands above every page: kind of sheet, title, book.
fn head_words(frame: &Frame) -> String {
    format!("{} · {}{}", frame.kind, frame.title, frame.of_book())
}
