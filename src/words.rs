//! Small helps with words: one form for comparing them, and the nearest known one for "did you mean".

/// One form for comparing names: lower case, single spaces, `-` and `_` as spaces.
#[must_use]
pub fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    out.extend(folds(text));
    out
}

/// True for two names that are the same once [`folded`].
#[must_use]
pub fn alike(one: &str, other: &str) -> bool {
    // Most names differ from the first letter on, and this is asked of every one in a list.
    let first = |text: &str| {
        let bytes = text.trim_start_matches(['-', '_', ' ']).as_bytes();
        bytes
            .first()
            .filter(|byte| byte.is_ascii_alphanumeric())
            .map(u8::to_ascii_lowercase)
    };
    match (first(one), first(other)) {
        (Some(one), Some(other)) if one != other => return false,
        _ => {}
    }
    folds(one).eq(folds(other))
}

/// The letters of a name as [`folded`] writes them.
fn folds(text: &str) -> impl Iterator<Item = char> + '_ {
    let parts = text
        .split(|c: char| c.is_whitespace() || c == '-' || c == '_')
        .filter(|part| !part.is_empty());
    parts.enumerate().flat_map(|(at, part)| {
        let space = (at > 0).then_some(' ');
        space
            .into_iter()
            .chain(part.chars().flat_map(char::to_lowercase))
    })
}

/// The known name nearest to a mistyped one, when it is near enough to be meant.
#[must_use]
pub fn closest<'n>(typed: &str, known: impl IntoIterator<Item = &'n str>) -> Option<String> {
    let near = nearest(typed, known);
    near.first().map(|(_, name)| (*name).to_owned())
}

/// The known names that are near enough to a mistyped one to be meant, the nearest first, each with the number of slips
/// (letters added, left out, changed, or two of them swapped). Of equally near ones the first known comes first.
#[must_use]
pub fn nearest<'n>(typed: &str, known: impl IntoIterator<Item = &'n str>) -> Vec<(usize, &'n str)> {
    let typed = folded(typed);
    if typed.is_empty() {
        return Vec::new();
    }
    let mut near: Vec<(usize, &str)> = Vec::new();
    for name in known {
        let other = folded(name);
        let length = typed.chars().count().max(other.chars().count());
        let mut distance = strsim::osa_distance(&typed, &other);
        // A word left out or added at either end is a likely slip: `exam` for `last-exam`.
        if typed.len() >= 4 && other.split(' ').any(|word| word == typed) {
            distance = distance.min(length / 3);
        }
        if distance <= (length / 3).max(1) {
            near.push((distance, name));
        }
    }
    near.sort_by_key(|(distance, _)| *distance);
    near
}

/// Names in a sentence: `a, b or c`.
#[must_use]
pub fn either<S: AsRef<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [head @ .., last] => {
            let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", head.join(", "), last.as_ref())
        }
    }
}

/// True for a kebab-case id: lower-case letters and digits in words joined by single hyphens.
#[must_use]
pub fn is_kebab(id: &str) -> bool {
    !id.is_empty()
        && id.split('-').all(|word| {
            !word.is_empty()
                && word
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        })
}

/// A letter for a place in a list, from 0: A, B … Z, AA, AB …
#[must_use]
pub fn letter(mut at: usize) -> String {
    let mut out = String::new();
    loop {
        out.insert(0, char::from(b'A' + (at % 26) as u8));
        if at < 26 {
            return out;
        }
        at = at / 26 - 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spaces_hyphens_and_case_do_not_matter() {
        assert_eq!(folded("Lives-Here"), folded("lives  here"));
        assert_eq!(folded(" _At-least\tTWO "), "at least two");
        assert!(alike("Lives-Here ", "lives  here"));
        assert!(!alike("lives here", "liveshere"));
        assert!(!alike("lives", "lives here"));
    }

    #[test]
    fn a_slip_finds_its_word_and_nonsense_finds_none() {
        let known = ["injury", "body-part", "last-exam"];
        assert_eq!(closest("injurry", known).as_deref(), Some("injury"));
        assert_eq!(closest("exam", known).as_deref(), Some("last-exam"));
        assert_eq!(closest("weather", known), None);
    }

    #[test]
    fn near_names_come_nearest_first() {
        let known = ["bruising", "bruises", "bruise", "weather"];
        let near = nearest("bruis", known);
        assert_eq!(near, [(1, "bruise"), (2, "bruises")]);
        assert!(nearest(" ", known).is_empty());
    }

    #[test]
    fn lists_read_as_sentences() {
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
        assert_eq!(either::<&str>(&[]), "");
    }

    #[test]
    fn ids_are_kebab_case() {
        assert!(is_kebab("child-within-reach"));
        assert!(!is_kebab("Child"));
        assert!(!is_kebab("a--b"));
    }

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(
            [0, 25, 26, 51, 52].map(letter),
            ["A", "Z", "AA", "AZ", "BA"]
        );
    }
}
