//! Letters on a door sign. Source: the usually quoted rule of sign making (second hand, not held against the standard): the height of
//! a capital letter is the reading distance divided by 150 for the signal word and by 300 for the message, in good light.

/// Heights of capital letters, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LetterHeights {
    /// Of the signal word.
    pub signal_mm: f64,
    /// Of the message.
    pub message_mm: f64,
}

/// Heights of capital letters that can be read from so far off in good light. The letters for 3 m fit on one sheet of A4 or Letter;
/// in poor light about twice as high.
#[must_use]
pub fn letter_heights(distance_cm: f64) -> LetterHeights {
    LetterHeights {
        signal_mm: distance_cm * 10.0 / 150.0,
        message_mm: distance_cm * 10.0 / 300.0,
    }
}

#[cfg(test)]
mod tests {
    use super::letter_heights;

    /// The practice handbook's worked pair: at 3 m, 20 mm and 10 mm.
    #[test]
    fn at_three_metres_the_word_is_twenty_millimetres_high() {
        let heights = letter_heights(300.0);
        assert!((heights.signal_mm - 20.0).abs() < 1e-12);
        assert!((heights.message_mm - 10.0).abs() < 1e-12);
    }
}
