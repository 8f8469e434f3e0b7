//! Answers that cannot be written: the exit code says that the work is done, so that no script does it twice.

use super::program::Workshop;
use std::fs::File;

/// A device on which nothing can be written, as a full disk.
fn full() -> File {
    File::options()
        .write(true)
        .open("/dev/full")
        .expect("every Linux has it")
}

#[test]
fn work_whose_answer_is_lost_is_done_and_the_exit_code_says_so() {
    let shop = Workshop::demo();
    assert_eq!(
        shop.run("stock add AS568-012 --bin A --quantity 5").code,
        Some(0)
    );
    for line in [
        "stock take AS568-012 --quantity 2 --bin A",
        "job open \"Tarn 2\" FT2-004417 --by Ada",
    ] {
        let output = shop.command(line).stdout(full()).output().expect("runs");
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(4), "{line}: {said}");
        assert!(said.contains("the command itself is done"), "{said}");
        assert!(said.contains("do not give it again"), "{said}");
    }
    let shelf = shop.done("stock list AS568-012 --format csv").out;
    assert!(shelf.contains(",3,"), "two were taken once: {shelf}");
    let jobs = shop.done("job list --format csv").out;
    assert_eq!(jobs.matches("FT2-004417").count(), 1, "{jobs}");
    // A short answer is lost at the end, a batch at its first block.
    shop.write("rings.csv", "case,od_mm\nA,12.8\n");
    let mut batch = shop.command("ring --batch rings.csv --format csv");
    let batch = batch.stdout(full()).output().expect("runs");
    assert_eq!(batch.status.code(), Some(4));
    let help = shop.done("--help").out;
    assert!(help.contains("4 the answer could not be written"), "{help}");
}
