//! A finished sheet: its pages, ready to be written in any form.

use super::drawing::{Drawing, Item};
use super::font::Face;
use super::paper::Paper;
use super::subset::Subset;

/// The pages of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// What the document is called.
    pub title: String,
    /// Paper of every page.
    pub paper: Paper,
    /// Width and height in points, where the pages are no whole sheet of paper (labels of a roll).
    pub own_size: Option<(f64, f64)>,
    /// The same for a screen, as the inside of an HTML page; empty where the pages themselves are shown.
    pub screen: String,
    pub pages: Vec<Drawing>,
}

impl Pages {
    /// Returns width and height of a page in points.
    pub fn size(&self) -> (f64, f64) {
        self.own_size.unwrap_or_else(|| self.paper.points())
    }

    /// Makes the small fonts of the characters on these pages, one a face that is used.
    pub(super) fn fonts(pages: &[Drawing]) -> Vec<Subset> {
        let runs = |face: Face| {
            pages
                .iter()
                .flat_map(|page| &page.items)
                .filter_map(move |item| match item {
                    Item::Text(run) if run.face == face => Some(run.text.as_str()),
                    _ => None,
                })
        };
        Face::ALL
            .into_iter()
            .map(|face| Subset::new(face, runs(face).flat_map(str::chars)))
            .filter(|subset| !subset.is_empty())
            .collect()
    }
}
