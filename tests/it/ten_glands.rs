//! Ten glands that a restorer meets: every one gives a page that begins with its answer and ends with the caution.

use super::program::words;
use std::process::Command;

#[test]
fn every_gland_of_the_ten_is_answered_with_a_page() {
    let mut seen = 0;
    for line in include_str!("ten_glands.txt").lines() {
        if line.starts_with('#') {
            continue;
        }
        let fields: Vec<&str> = line.split('|').collect();
        let [title, code, text] = fields.as_slice() else {
            panic!("{line}")
        };
        let output = Command::new(env!("CARGO_BIN_EXE_ringwright"))
            .args(words(text))
            .env_remove("RINGWRIGHT_BOOK")
            .output()
            .expect("the program runs");
        let page = String::from_utf8(output.stdout).expect("UTF-8");
        let message = String::from_utf8_lossy(&output.stderr);
        assert_eq!(
            output.status.code(),
            code.trim().parse().ok(),
            "{title}: {message}{page}"
        );
        assert!(page.contains("CAUTION: life support"), "{title}");
        assert!(!page.contains("NaN") && !page.contains("inf "), "{title}");
        seen += 1;
    }
    assert_eq!(seen, 10);
}
