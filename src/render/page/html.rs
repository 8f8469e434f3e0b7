//! A sheet as one HTML file that needs no other: each page an inline drawing, scaled to the window, of true size on paper.

use super::pages::Pages;
use super::paper::POINTS_PER_MM;
use super::svg::{escaped, font_faces, items, number};
use std::fmt::Write;

/// Writes the sheet.
pub(super) fn html(sheet: &Pages) -> String {
    let (width, height) = sheet.size();
    let (wide, high) = (
        number(width / POINTS_PER_MM),
        number(height / POINTS_PER_MM),
    );
    let mut out =
        String::from("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    out.push_str("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:\">\n");
    let _ = writeln!(out, "<title>{}</title>", escaped(&sheet.title));
    let _ = writeln!(
        out,
        "<style>{}\nbody{{margin:0;background:#fff;color:#000}}h1{{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}}\
         section{{margin:0 auto 4mm;width:min(100%,{wide}mm)}}svg{{display:block;width:100%;height:auto}}\
         @media screen{{section{{border-bottom:1px solid #000}}}}\
         @page{{size:{wide}mm {high}mm;margin:0}}\
         @media print{{section{{width:{wide}mm;margin:0;break-after:page;break-inside:avoid}}section:last-child{{break-after:auto}}svg{{width:{wide}mm;height:{high}mm}}}}</style>",
        font_faces(&Pages::fonts(&sheet.pages))
    );
    let _ = writeln!(
        out,
        "</head>\n<body>\n<main>\n<h1>{}</h1>",
        escaped(&sheet.title)
    );
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
    out.push_str("</main>\n</body>\n</html>\n");
    out
}
