//! Gives changed bytes to the check of the target that RINGWRIGHT_FUZZ names.
#![no_main]

use std::sync::LazyLock;

static CHECK: LazyLock<fn(&[u8])> = LazyLock::new(|| {
    let target = std::env::var("RINGWRIGHT_FUZZ").unwrap_or_default();
    checks::check_of(&target).expect("RINGWRIGHT_FUZZ names a target")
});

libfuzzer_sys::fuzz_target!(|data: &[u8]| (*CHECK)(data));
