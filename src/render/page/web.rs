//! A long page for a browser: one HTML file that needs no other, with the embedded font, for screen and paper.

use super::drawing::Drawing;
use super::font::Face;
use super::frame::Frame;
use super::html::document;
use super::paper::{POINTS_PER_MM, Paper};
use super::subset::Subset;
use super::svg::{FAMILY, escaped, number};
use crate::core::caution::Caution;
use crate::core::quantity::Length;
use crate::render::visible;
use crate::render::words::or_empty;
use std::fmt::Write;

/// Collects the body of a long page.
#[derive(Debug, Default)]
pub struct Web {
    body: String,
    contents: String,
    depth: usize,
    sections: usize,
}

/// A picture that is shown in true size.
#[derive(Debug, Clone)]
pub enum TrueSize {
    /// A ring as a scanner saw it.
    Photograph {
        jpeg: Vec<u8>,
        /// How wide what it shows is.
        width: Length,
        /// What it is.
        words: String,
    },
    /// The outline of a ring.
    Ring {
        id: Length,
        section: Length,
        /// What it is.
        words: String,
    },
}

pub(super) const STYLE: &str = include_str!("web.css");
const SCRIPT: &str = include_str!("web.js");

/// Tells whether a cell holds a word that may be broken, because a column as wide as the word would be too wide.
fn has_long_word(cell: &str) -> bool {
    const LONG: usize = 12;
    cell.split_whitespace()
        .any(|word| word.chars().count() > LONG)
}

impl Web {
    /// Begins a section of a level (2 or 3) and lists it in the contents; sections of a deeper level lie within it.
    pub fn section(&mut self, level: usize, title: &str) {
        while self.depth >= level {
            self.close();
        }
        self.sections += 1;
        let (at, title) = (self.sections, escaped(title));
        let _ = writeln!(
            self.body,
            "<section class=\"level{level}\" aria-labelledby=\"s{at}\"><h{level} id=\"s{at}\">{title}</h{level}>"
        );
        let _ = writeln!(
            self.contents,
            "<li class=\"level{level}\"><a href=\"#s{at}\">{title}</a></li>"
        );
        self.depth = level;
    }

    fn close(&mut self) {
        self.body.push_str("</section>\n");
        self.depth -= 1;
        if self.depth < 2 {
            self.depth = 0;
        }
    }

    /// Adds a text between tags of a name; `class` may be empty.
    fn tagged(&mut self, name: &str, class: &str, text: &str) {
        let class = or_empty((!class.is_empty()).then(|| format!(" class=\"{class}\"")));
        let _ = writeln!(self.body, "<{name}{class}>{}</{name}>", escaped(text));
    }

    /// Adds a paragraph; an empty one is left out.
    pub fn text(&mut self, text: &str) {
        if !text.trim().is_empty() {
            self.tagged("p", "find", text);
        }
    }

    /// Adds a bold line that leads what follows.
    pub fn lead(&mut self, text: &str) {
        let level = self.depth.max(1) + 1;
        self.tagged(&format!("h{level}"), "", text);
    }

    /// Adds a framed line that says how a thing stands.
    pub fn status(&mut self, text: &str) {
        self.tagged("p", "status", text);
    }

    /// Adds a caution.
    pub fn caution(&mut self, text: &str) {
        self.tagged("p", "caution", text);
    }

    /// Adds the cautions of a report but the standing one, which stands above and below the page.
    pub fn cautions(&mut self, cautions: &[Caution]) {
        for caution in cautions.iter().filter(|one| **one != Caution::Standing) {
            self.caution(caution.words());
        }
    }

    /// Adds points; an empty list is left out.
    pub fn list<P: AsRef<str>>(&mut self, points: impl IntoIterator<Item = P>) {
        let mut items = String::new();
        for point in points {
            let _ = writeln!(items, "<li class=\"find\">{}</li>", escaped(point.as_ref()));
        }
        if !items.is_empty() {
            let _ = write!(self.body, "<ul>\n{items}</ul>\n");
        }
    }

    /// Adds a text in which lines and spaces are kept, to be unfolded.
    pub fn folded(&mut self, title: &str, text: &str) {
        let _ = writeln!(
            self.body,
            "<details class=\"find\"><summary>{}</summary><pre>{}</pre></details>",
            escaped(title),
            escaped(text)
        );
    }

    /// Adds a table; one without rows is left out.
    pub fn table(&mut self, caption: &str, heads: &[&str], rows: &[Vec<String>]) {
        if rows.is_empty() {
            return;
        }
        self.body.push_str("<table>");
        if !caption.is_empty() {
            let _ = write!(self.body, "<caption>{}</caption>", escaped(caption));
        }
        self.body.push_str("<thead><tr>");
        for head in heads {
            let _ = match *head {
                "" => write!(self.body, "<td></td>"),
                head => write!(self.body, "<th scope=\"col\">{}</th>", escaped(head)),
            };
        }
        self.body.push_str("</tr></thead><tbody>\n");
        for row in rows {
            self.body.push_str("<tr class=\"find\">");
            for (cell, head) in row.iter().zip(heads) {
                let _ = write!(
                    self.body,
                    "<td data-head=\"{}\"{}>{}</td>",
                    escaped(head),
                    if has_long_word(cell) {
                        " class=\"long\""
                    } else {
                        ""
                    },
                    escaped(cell)
                );
            }
            self.body.push_str("</tr>\n");
        }
        self.body.push_str("</tbody></table>\n");
    }

    /// Adds a photograph that is embedded; `kind` is its media type.
    pub fn photograph(&mut self, kind: &str, bytes: &[u8], words: &str) {
        let _ = writeln!(
            self.body,
            "<figure class=\"find\"><img src=\"data:{kind};base64,{}\" alt=\"{}\"><figcaption>{}</figcaption></figure>",
            super::svg::base64(bytes),
            escaped(words),
            escaped(words)
        );
    }

    /// Adds a drawing with a line below; `words` say what it shows.
    pub fn drawing(&mut self, drawing: &Drawing, words: &str) {
        self.picture(drawing, words);
        self.text(words);
    }

    /// Adds a drawing in true size, as large as what is on it; where the window is narrower it is moved under the finger.
    pub(super) fn picture(&mut self, drawing: &Drawing, words: &str) {
        let Some(extent) = drawing.extent() else {
            return;
        };
        let words = escaped(words);
        let _ = writeln!(
            self.body,
            "<figure class=\"find wide\" tabindex=\"0\" aria-label=\"{words}\"><svg viewBox=\"{} {} {} {}\" style=\"width:{}mm\" role=\"img\" aria-label=\"{words}\">",
            number(extent.corner.x),
            number(extent.corner.y),
            number(extent.width),
            number(extent.height),
            number(extent.width / POINTS_PER_MM)
        );
        super::svg::items(&mut self.body, drawing);
        self.body.push_str("</svg></figure>\n");
    }

    /// Shows drawings under each other, each with the words that it stands for.
    pub fn of_pictures(pictures: &[(Drawing, String)], frame: &Frame) -> String {
        let mut web = Self::default();
        for (drawing, words) in pictures {
            web.picture(drawing, words);
        }
        web.screen(frame)
    }

    /// Finishes what is shown of a sheet on a screen.
    pub(super) fn screen(mut self, frame: &Frame) -> String {
        self.close_all();
        format!("{}<main>\n{}</main>\n", header(frame), self.body)
    }

    fn close_all(&mut self) {
        while self.depth > 0 {
            self.close();
        }
    }

    /// Adds pictures beside each other, each in true size where the screen or the printer keeps to millimetres.
    pub fn side_by_side(&mut self, pictures: &[TrueSize]) {
        self.body.push_str("<div class=\"beside find\">");
        for picture in pictures {
            let (shown, words) = match picture {
                TrueSize::Photograph { jpeg, width, words } => {
                    let (mm, data) = (width.mm(), super::svg::base64(jpeg));
                    let shown = format!(
                        "<img style=\"width:{mm:.2}mm\" src=\"data:image/jpeg;base64,{data}\" alt=\"{}\">",
                        escaped(words)
                    );
                    (shown, words)
                }
                TrueSize::Ring { id, section, words } => {
                    let side = id.mm() + 2.0 * section.mm() + 2.0;
                    let circle = |diameter: f64| {
                        let (middle, radius) = (side / 2.0, diameter / 2.0);
                        format!(
                            "<circle cx=\"{middle:.3}\" cy=\"{middle:.3}\" r=\"{radius:.3}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"0.15\"/>"
                        )
                    };
                    let shown = format!(
                        "<svg role=\"img\" aria-label=\"{}\" style=\"width:{side:.2}mm;height:{side:.2}mm\" viewBox=\"0 0 {side:.3} {side:.3}\">{}{}</svg>",
                        escaped(words),
                        circle(id.mm()),
                        circle(side - 2.0)
                    );
                    (shown, words)
                }
            };
            let _ = write!(
                self.body,
                "<figure>{shown}<figcaption>{}</figcaption></figure>",
                escaped(words)
            );
        }
        self.body.push_str("</div>\n");
    }

    /// Finishes the page.
    pub fn finish(mut self, frame: &Frame) -> String {
        const POLICY: &str = "script-src 'unsafe-inline'; font-src data:; img-src data:; form-action 'none'; base-uri 'none'";
        self.close_all();
        let text = format!(
            "{}<form role=\"search\" id=\"search\"><label for=\"words\">Search</label> <input id=\"words\" type=\"search\" autocomplete=\"off\"> \
             <span id=\"found\" role=\"status\"></span></form>\n\
             <nav aria-label=\"Contents\"><h2>Contents</h2><ol>\n{}</ol></nav>\n<main>\n{}</main>\n\
             <footer><p>{}</p></footer>\n",
            header(frame),
            self.contents,
            self.body,
            made(frame)
        );
        let script = format!("<script>{SCRIPT}</script>\n");
        document(POLICY, &title(frame), &print_frame(frame), &text, &script)
    }
}

fn title(frame: &Frame) -> String {
    escaped(&format!("{}: {}", frame.kind, frame.title))
}

/// Of which book, when and with what a page was made.
fn made(frame: &Frame) -> String {
    let book = frame.book.as_ref();
    let book = book.map_or_else(String::new, |book| format!("book {} · ", escaped(book)));
    format!("{book}{} · {}", escaped(&frame.date), Frame::made_with())
}

fn header(frame: &Frame) -> String {
    format!(
        "<header><h1>{}</h1><p>{}</p><p class=\"caution\">{}</p></header>\n",
        title(frame),
        made(frame),
        Caution::Standing.words()
    )
}

/// Makes the small fonts of a page: whatever stands between its tags is set in them, and more characters than these are none.
pub(super) fn fonts_of(text: &str) -> Vec<Subset> {
    let of_face = |face: Face| {
        let shown = text.chars().filter(|c| face.font().glyph(*c) != 0);
        Subset::new(face, shown)
    };
    Face::ALL.into_iter().map(of_face).collect()
}

/// The margins of a printed page: what it is and of which book above; caution, day, data version and page number below.
fn print_frame(frame: &Frame) -> String {
    let head = css_text(&format!(
        "{}: {}{}",
        frame.kind,
        frame.title,
        frame.of_book()
    ));
    let caution = css_text(Caution::Standing.words());
    let made = css_text(&format!("{} · {} · page ", frame.date, Frame::made_with()));
    let paper = match frame.paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    format!(
        "@page{{size:{paper};margin:16mm 15mm 20mm;\n\
         @top-left{{content:\"{head}\";font:7pt {FAMILY},sans-serif;width:100%;text-align:left}}\n\
         @bottom-left{{content:\"{caution}\";font:6.5pt {FAMILY},sans-serif;width:66%;text-align:left}}\n\
         @bottom-right{{content:\"{made}\" counter(page) \" of \" counter(pages);font:6.5pt {FAMILY},sans-serif;width:34%;text-align:right}}}}\n"
    )
}

/// Makes a text from outside safe between the quotes of a style sheet inside a page.
fn css_text(text: &str) -> String {
    let mut out = String::new();
    for character in visible(text).chars() {
        if character.is_alphanumeric() || " .,:;-·()".contains(character) {
            out.push(character);
        } else {
            let _ = write!(out, "\\{:X} ", u32::from(character));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hostile_name_cannot_leave_the_quotes_of_the_style_sheet() {
        let text = css_text("a\"}</style><script>\\");
        assert!(!text.contains(['"', '}', '<', '>', '/']), "{text}");
        assert!(text.starts_with("a\\22 \\7D \\3C \\2F style"), "{text}");
    }
}
