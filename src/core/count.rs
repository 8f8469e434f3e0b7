//! Numbers of things in words.

/// Writes how many there are: "1 part", "2 parts".
///
/// ```
/// use ringwright::core::count::counted;
/// assert_eq!(counted(1, "part", "parts"), "1 part");
/// assert_eq!(counted(0, "part", "parts"), "0 parts");
/// ```
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
