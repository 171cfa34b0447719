//! Whether a clinician should hear about the bird when a person is ill. Never a diagnosis: an illness inside or outside
//! these days is neither one nor ruled out, and the clinician is told about the bird either way.

use super::span::Span;

/// How long after contact the illness has been seen to start, as one public health body gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// The body, as a key.
    pub body: &'static str,
    /// Days from contact to the first signs.
    pub days: Span,
    /// True when the body calls these the usual days, so that later is less common and not excluded.
    pub usual: bool,
}

/// What public health bodies say. They disagree, so all are kept.
///
/// `cdc`: Centers for Disease Control and Prevention, psittacosis, signs and symptoms. `cdc-older`: the same body,
/// earlier text. `health-protection-scotland`: one to four weeks. `public-health-england-2015`: commonly about ten
/// days. `south-dakota`: South Dakota Department of Health, usually ten days.
pub const WINDOWS: [Window; 5] = [
    Window {
        body: "cdc",
        days: Span {
            low: 5.0,
            high: 14.0,
        },
        usual: true,
    },
    Window {
        body: "cdc-older",
        days: Span {
            low: 5.0,
            high: 19.0,
        },
        usual: false,
    },
    Window {
        body: "health-protection-scotland",
        days: Span {
            low: 7.0,
            high: 28.0,
        },
        usual: false,
    },
    Window {
        body: "public-health-england-2015",
        days: Span {
            low: 4.0,
            high: 30.0,
        },
        usual: false,
    },
    Window {
        body: "south-dakota",
        days: Span {
            low: 4.0,
            high: 15.0,
        },
        usual: false,
    },
];

/// How far back to ask about contact with birds, days: the longest of [`WINDOWS`].
pub const LOOK_BACK_DAYS: f64 = 30.0;

/// Signs in people to ask about, as keys (Centers for Disease Control and Prevention, signs and symptoms).
///
/// The same page adds pneumonia in some; that is for a clinician to find, so a household is not asked about it.
pub const SIGNS: [&str; 5] = ["fever", "chills", "headache", "muscle-aches", "dry-cough"];

/// The windows that hold an illness which began so many days after contact; none for a number that is not finite.
pub fn windows_holding(days: f64) -> impl Iterator<Item = &'static Window> {
    WINDOWS.iter().filter(move |window| window.days.holds(days))
}

/// True when any body's window holds the day. It changes what is said about timing, never whether to tell the
/// clinician.
#[must_use]
pub fn inside_any(days: f64) -> bool {
    windows_holding(days).next().is_some()
}

/// Whether to tell the clinician about the bird: always when a flu-like illness follows contact, whatever the day.
///
/// `ill` is a flu-like or chest illness; `near_a_bird` is contact within [`LOOK_BACK_DAYS`]. `None` while a blank
/// leaves it open.
#[must_use]
pub fn tell_the_clinician(ill: Option<bool>, near_a_bird: Option<bool>) -> Option<bool> {
    match (ill, near_a_bird) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{LOOK_BACK_DAYS, SIGNS, WINDOWS, inside_any, tell_the_clinician, windows_holding};

    const CDC: &str = "cdc";
    const CDC_OLDER: &str = "cdc-older";
    const SCOTLAND: &str = "health-protection-scotland";
    const ENGLAND: &str = "public-health-england-2015";
    const SOUTH_DAKOTA: &str = "south-dakota";

    fn holding(days: f64) -> Vec<&'static str> {
        windows_holding(days).map(|window| window.body).collect()
    }

    // Centers for Disease Control and Prevention: most 5 to 14 days.
    #[test]
    fn day_ten_is_inside_and_day_three_outside_the_days_of_the_cdc() {
        assert!(holding(10.0).contains(&CDC));
        assert!(!holding(3.0).contains(&CDC));
        assert!(!inside_any(3.0));
    }

    // Health Protection Scotland: one to four weeks. Public Health England (2015): 4 to 30 days.
    #[test]
    fn day_twenty_five_is_inside_the_four_weeks_of_health_protection_scotland() {
        assert_eq!(holding(25.0), [SCOTLAND, ENGLAND]);
        assert!(inside_any(25.0));
    }

    // Public Health England (2015) and South Dakota Department of Health call about ten days common.
    #[test]
    fn day_ten_is_inside_every_window() {
        assert_eq!(
            holding(10.0),
            [CDC, CDC_OLDER, SCOTLAND, ENGLAND, SOUTH_DAKOTA]
        );
    }

    // Every end as published by the five bodies, and a hair beyond it.
    #[test]
    fn each_window_ends_where_its_body_says() {
        assert_eq!(holding(3.99), [""; 0]);
        assert_eq!(holding(4.0), [ENGLAND, SOUTH_DAKOTA]);
        assert_eq!(holding(4.99), [ENGLAND, SOUTH_DAKOTA]);
        assert_eq!(holding(5.0), [CDC, CDC_OLDER, ENGLAND, SOUTH_DAKOTA]);
        assert_eq!(holding(6.99), [CDC, CDC_OLDER, ENGLAND, SOUTH_DAKOTA]);
        assert_eq!(holding(7.0).len(), 5);
        assert_eq!(holding(14.0).len(), 5);
        assert_eq!(holding(14.01), [CDC_OLDER, SCOTLAND, ENGLAND, SOUTH_DAKOTA]);
        assert_eq!(holding(15.0), [CDC_OLDER, SCOTLAND, ENGLAND, SOUTH_DAKOTA]);
        assert_eq!(holding(15.01), [CDC_OLDER, SCOTLAND, ENGLAND]);
        assert_eq!(holding(19.0), [CDC_OLDER, SCOTLAND, ENGLAND]);
        assert_eq!(holding(19.01), [SCOTLAND, ENGLAND]);
        assert_eq!(holding(28.0), [SCOTLAND, ENGLAND]);
        assert_eq!(holding(28.01), [ENGLAND]);
        assert_eq!(holding(30.0), [ENGLAND]);
        assert_eq!(holding(30.01), [""; 0]);
    }

    // Only the Centers for Disease Control and Prevention give their days as those of most people.
    #[test]
    fn only_the_days_of_the_cdc_are_called_usual() {
        let usual: Vec<_> = WINDOWS.iter().filter(|window| window.usual).collect();
        assert_eq!(usual.len(), 1);
        assert_eq!(usual[0].body, CDC);
    }

    #[test]
    fn the_look_back_is_as_long_as_the_longest_window() {
        let longest = WINDOWS
            .iter()
            .map(|window| window.days.high)
            .fold(0.0, f64::max);
        assert_eq!(LOOK_BACK_DAYS, longest);
    }

    #[test]
    fn impossible_days_are_inside_nothing() {
        for days in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -10.0, 0.0, 1e9] {
            assert!(!inside_any(days));
        }
    }

    #[test]
    fn illness_after_contact_is_always_told_and_a_blank_leaves_it_open() {
        let (yes, no, blank) = (Some(true), Some(false), None);
        assert_eq!(tell_the_clinician(yes, yes), yes);
        assert_eq!(tell_the_clinician(yes, no), no);
        assert_eq!(tell_the_clinician(no, yes), no);
        assert_eq!(tell_the_clinician(no, no), no);
        assert_eq!(tell_the_clinician(yes, blank), blank);
        assert_eq!(tell_the_clinician(blank, yes), blank);
        assert_eq!(tell_the_clinician(no, blank), no);
        assert_eq!(tell_the_clinician(blank, no), no);
        assert_eq!(tell_the_clinician(blank, blank), blank);
    }

    // Centers for Disease Control and Prevention: fever and chills, headache, muscle aches, dry cough.
    #[test]
    fn the_signs_are_those_of_the_cdc() {
        let expected = ["fever", "chills", "headache", "muscle-aches", "dry-cough"];
        assert_eq!(SIGNS, expected);
    }
}
