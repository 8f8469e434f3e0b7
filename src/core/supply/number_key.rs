//! Part numbers as they are compared.

/// Returns a part number in capitals without spaces and signs, so that two ways to write it meet.
///
/// A leading zero counts: -012, -12 and -112 are different rings.
///
/// ```
/// use ringwright::core::supply::number_key;
/// assert_eq!(number_key("ab 12-7.x"), "AB127X");
/// ```
pub fn number_key(number: &str) -> String {
    let mut key = String::with_capacity(number.len());
    for c in number.chars().filter(|c| c.is_alphanumeric()) {
        if c.is_ascii() {
            key.push(c.to_ascii_uppercase());
        } else {
            key.extend(c.to_uppercase());
        }
    }
    key
}
