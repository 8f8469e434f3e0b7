//! The page model: text, lines and fills in points, a layout engine, and the three forms of a page.
//!
//! A sheet is laid out by a [`Flow`] (blocks under each other, tables that break over pages, head and foot on every page)
//! into [`Pages`]; these are written as PDF, SVG or HTML. The same sheet gives the same bytes: nothing here reads a clock,
//! the system's fonts or a file.
//!
//! The three forms draw the same items, so that a PDF and its SVG cannot differ. The font is a subset of the shipped
//! one, cut anew for each file; a character that it lacks is printed as its code (`[U+6F22]`). Text runs from left to
//! right without shaping: Arabic or Indic names are readable as codes only. The data version on each page is a checksum
//! of all shipped tables, made when the program is built.

mod drawing;
mod facing;
mod flow;
mod font;
mod frame;
mod geometry;
mod grid;
mod html;
mod pages;
mod paper;
mod pdf;
mod qr;
mod subset;
mod svg;
mod web;
mod wrapped;

pub use drawing::{Anchor, Drawing, Item, Path, Pen, Piece, TextRun, Type, settable};
pub use flow::{BODY, Flow, SMALL};
pub use font::Face;
pub use frame::{Frame, NO_BREAK};
pub use geometry::{Point, Rect, View, arc, begun, circle, closed};
pub use grid::{Grid, GridCell, Picture};
pub use pages::Pages;
pub use paper::{POINTS_PER_MM, Paper, PrinterScale, points};
pub use qr::{QUIET, Qr, QrTooLong};
pub(super) use svg::{base64, number};
pub use web::{TrueSize, Web};
pub use wrapped::{LEADING, wrapped};
