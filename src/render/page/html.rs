//! A sheet as one HTML file that needs no other: on a screen text that runs to the width of the window, on paper each page a drawing
//! of true size.

use super::pages::Pages;
use super::paper::POINTS_PER_MM;
use super::svg::{FAMILY, escaped, font_faces, items, number};
use super::web::{STYLE, fonts_of};
use std::fmt::Write;

/// Writes a document of one file: what it may load beside its own styles, its title, style, body, and what stands behind that.
pub(super) fn document(policy: &str, title: &str, style: &str, body: &str, end: &str) -> String {
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; {policy}\">\n\
         <title>{title}</title>\n<style>{}\nbody{{font-family:{FAMILY},sans-serif}}\n{STYLE}\n{style}</style>\n</head>\n<body>\n\
         {body}{end}</body>\n</html>\n",
        font_faces(&fonts_of(body)),
    )
}

impl Pages {
    /// Writes the sheet as one HTML file that needs no other.
    pub fn html(&self) -> String {
        let (width, height) = self.size();
        let [wide, high] = [width, height].map(|points| number(points / POINTS_PER_MM));
        let shown = if self.screen.is_empty() {
            ""
        } else {
            "@media screen{.paper{display:none}}@media print{header,main{display:none}}"
        };
        let style = format!(
            ".paper section{{margin:0 auto 4mm;width:min(100%,{wide}mm)}}.paper svg{{display:block;width:100%;height:auto}}\
             @media screen{{.paper section{{border-bottom:1px solid #000}}}}{shown}\
             @page{{size:{wide}mm {high}mm;margin:0}}\
             @media print{{body{{max-width:none;margin:0;padding:0}}.paper section{{width:{wide}mm;margin:0;break-after:page;break-inside:avoid}}.paper section:last-child{{break-after:auto}}.paper svg{{width:{wide}mm;height:{high}mm}}}}",
        );
        let body = format!("{}{}", self.screen, paper(self));
        let policy = "font-src data:; img-src data:";
        document(policy, &escaped(&self.title), &style, &body, "")
    }
}

fn paper(sheet: &Pages) -> String {
    let (width, height) = sheet.size();
    let title = escaped(&sheet.title);
    let (tag, heading) = if sheet.screen.is_empty() {
        ("main", format!("<h1 class=\"unseen\">{title}</h1>\n"))
    } else {
        ("div", String::new())
    };
    let mut out = format!("<{tag} class=\"paper\">\n{heading}");
    let count = sheet.pages.len();
    for (at, page) in sheet.pages.iter().enumerate() {
        let _ = writeln!(
            out,
            "<section aria-label=\"Page {} of {count}\"><svg viewBox=\"0 0 {} {}\" xmlns=\"http://www.w3.org/2000/svg\">",
            at + 1,
            number(width),
            number(height)
        );
        items(&mut out, page);
        out.push_str("</svg></section>\n");
    }
    let _ = writeln!(out, "</{tag}>");
    out
}
