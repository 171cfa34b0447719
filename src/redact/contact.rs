//! What reaches someone within an answer to "How can we reach you?": one number or address, or several with words between.

use std::sync::LazyLock;

use regex::Regex;

/// A telephone number of five digits or more, with whatever people put between; an address of mail; a name on a network. Here it is known
/// that someone can be reached this way, so less is asked of it than in running text.
static PIECES: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?i)[\w.+-]+@[\w-]+(?:\.[\w-]+)+|@\w{2,}|(?:\+?\(\d{1,5}\)[ .-]?|\+)?\d(?:[ ()/.\u{2010}-\u{2015}-]{0,3}\d){4,}",
    )
    .ok()
});

/// The numbers and addresses in such an answer. Each tells as much as the whole; the words between tell nothing.
pub(super) fn pieces(text: &str) -> Vec<&str> {
    PIECES
        .as_ref()
        .into_iter()
        .flat_map(|pieces| pieces.find_iter(text))
        .map(|found| found.as_str())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::pieces;

    #[test]
    fn each_number_and_address_is_a_piece() {
        assert_eq!(
            pieces("ring 020 7946 0018 till six, or lamp.post@home.example, or @lamp_post"),
            ["020 7946 0018", "lamp.post@home.example", "@lamp_post"]
        );
        for whole in ["+44 (0)20\u{2011}7946/0018", "(555) 010-4477", "12 34 56"] {
            assert_eq!(pieces(whole), [whole]);
        }
        assert_eq!(pieces("home (020 7946 0018)"), ["020 7946 0018"]);
        assert!(pieces("by the blue door, flat 12").is_empty());
    }
}
