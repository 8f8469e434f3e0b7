//! Time of a whole page, and the same answer with any number of threads.

use super::page::{page, scale};
use crate::pages::cluttered::{full, scan};
use ringwright::core::scan::read_page;
use std::time::Instant;

#[test]
fn threads_give_the_same_answer() {
    let scan = scan(2);
    let (page, scale) = (page(&scan), scale(&scan, false));
    let figures = |threads| {
        let reading = read_page(&page, &scale, threads).expect("rings are found");
        let rings = reading.rings.iter();
        rings
            .map(|r| (r.x, r.y, r.od, r.id, r.doubts.clone()))
            .collect::<Vec<_>>()
    };
    let one = figures(1);
    assert_eq!(one, figures(2));
    assert_eq!(one, figures(5));
}

#[test]
#[ignore = "measures time: scripts/bench"]
fn a_page_of_35_million_points_takes_seconds() {
    let scan = full(32).scan();
    let (page, scale) = (page(&scan), scale(&scan, false));
    for threads in [1, 2] {
        let start = Instant::now();
        let reading = read_page(&page, &scale, threads).expect("rings are found");
        println!(
            "{} x {} points, {} rings, {threads} threads: {:.2} s",
            page.width(),
            page.height(),
            reading.rings.len(),
            start.elapsed().as_secs_f64()
        );
        assert!(reading.rings.len() >= 31);
    }
}
