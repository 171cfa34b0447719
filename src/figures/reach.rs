//! How far a beak reaches, and what follows for where people may be.

use super::input::{Unusable, within};
use super::size::SizeClass;
use super::span::Span;

/// What is added to the reach before a person may stand there, cm. Common practice, no source.
pub const MARGIN_CM: f64 = 30.0;

/// Least reach that is believed when someone measured it, cm.
pub const LEAST_REACH_CM: f64 = 1.0;

/// Greatest reach that is believed when someone measured it, cm.
pub const MOST_REACH_CM: f64 = 200.0;

/// Room a person takes up when walking, cm. Our own choice: a shoulder's breadth, with no source behind it.
pub const BODY_WIDTH_CM: f64 = 45.0;

/// Widest path that is believed, cm.
pub const MOST_PATH_CM: f64 = 2_000.0;

/// Greatest height in a home that is believed, cm.
pub const MOST_HEIGHT_CM: f64 = 500.0;

/// Least eye height that is believed when someone measured it, cm.
pub const LEAST_EYE_HEIGHT_CM: f64 = 10.0;

/// Greatest eye height that is believed when someone measured it, cm.
pub const MOST_EYE_HEIGHT_CM: f64 = 230.0;

/// Greatest age that is believed, years.
pub const MOST_AGE_YEARS: f64 = 120.0;

/// The reach that is assumed while nobody measured it, cm. Common practice, no source.
#[must_use]
pub const fn default_reach_cm(size: SizeClass) -> f64 {
    match size {
        SizeClass::Small => 30.0,
        SizeClass::Medium => 45.0,
        SizeClass::Large => 75.0,
    }
}

/// The reach of a beak, cm: as measured with an object, or else the default for every size from `least` to `most`.
///
/// A measured reach outranks the default, whether it is shorter or longer.
///
/// # Errors
/// [`Unusable`] when the measured reach is not from [`LEAST_REACH_CM`] to [`MOST_REACH_CM`].
pub fn reach_cm(
    measured_cm: Option<f64>,
    least: SizeClass,
    most: SizeClass,
) -> Result<Span, Unusable> {
    match measured_cm {
        Some(measured) => within(measured, LEAST_REACH_CM, MOST_REACH_CM).map(Span::exact),
        None => Ok(Span::between(
            default_reach_cm(least),
            default_reach_cm(most),
        )),
    }
}

/// The distance people keep, cm: reach and [`MARGIN_CM`].
///
/// # Errors
/// [`Unusable`] when the reach is no range within [`LEAST_REACH_CM`] to [`MOST_REACH_CM`].
pub fn safe_line_cm(reach: Span) -> Result<Span, Unusable> {
    let reach = range(reach, LEAST_REACH_CM, MOST_REACH_CM)?;
    Ok(Span {
        low: reach.low + MARGIN_CM,
        high: reach.high + MARGIN_CM,
    })
}

/// Whether a path past the cage is at least as wide as the safe line, so that a person can stand outside it.
///
/// `None` for a blank, for a number no path has, and while the width lies inside the range of the safe line.
#[must_use]
pub fn at_least_the_line(path_width_cm: Option<f64>, safe_line: Span) -> Option<bool> {
    path_is_clear(path_width_cm, 0.0, safe_line)
}

/// Whether a person can walk past outside the safe line: the path is at least the line and [`BODY_WIDTH_CM`].
///
/// `None` as for [`at_least_the_line`].
#[must_use]
pub fn room_to_walk(path_width_cm: Option<f64>, safe_line: Span) -> Option<bool> {
    path_is_clear(path_width_cm, BODY_WIDTH_CM, safe_line)
}

/// Whether a path past the cage leaves `body_width_cm` outside the safe line.
///
/// `path_width_cm` is the clear way from the bars, 0 to [`MOST_PATH_CM`]; `body_width_cm` 0 to [`MOST_PATH_CM`]. `None`
/// for a blank, for numbers outside those ranges, and while the answer depends on where in its range the safe line is.
#[must_use]
pub fn path_is_clear(
    path_width_cm: Option<f64>,
    body_width_cm: f64,
    safe_line: Span,
) -> Option<bool> {
    let path = within(path_width_cm?, 0.0, MOST_PATH_CM).ok()?;
    let body = within(body_width_cm, 0.0, MOST_PATH_CM).ok()?;
    let line = range(safe_line, LEAST_REACH_CM, MOST_REACH_CM + MARGIN_CM).ok()?;
    if path >= line.high + body {
        Some(true)
    } else if path < line.low + body {
        Some(false)
    } else {
        None
    }
}

/// Where the bird is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Position {
    /// Behind bars.
    AtBars,
    /// Out, on a perch it stays on.
    FromPerch,
    /// Out, and free to fly.
    InFlight,
}

/// Where no person may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoGo {
    /// Closer than this, cm, to the bars or the perch.
    Distance(Span),
    /// Anywhere in the room.
    WholeRoom,
}

/// Where no person may be while the bird is in a position: the safe line, or the whole room in flight.
///
/// `at_bars` is the reach through the bars and `from_perch` the reach from the perch, cm. A reach that is no range
/// within [`LEAST_REACH_CM`] to [`MOST_REACH_CM`] closes the whole room.
#[must_use]
pub fn no_go(position: Position, at_bars: Span, from_perch: Span) -> NoGo {
    let line = |reach| safe_line_cm(reach).map_or(NoGo::WholeRoom, NoGo::Distance);
    match position {
        Position::AtBars => line(at_bars),
        Position::FromPerch => line(from_perch),
        Position::InFlight => NoGo::WholeRoom,
    }
}

/// First age above each band, years, and the eye heights above the floor that people in the band can have, cm.
///
/// From memory, with no source: wide on purpose, and used only where nobody measured. A child under three may sit on
/// the floor or be carried at an adult's shoulder; the older ones sit on the floor or stand; from twelve on people sit
/// on a chair or stand.
const EYE_HEIGHTS: [(f64, Span); 4] = [
    (3.0, Span::between(20.0, 160.0)),
    (6.0, Span::between(45.0, 110.0)),
    (12.0, Span::between(55.0, 150.0)),
    (f64::INFINITY, Span::between(90.0, 190.0)),
];

/// A person's eye height above the floor, cm: as measured, or else what people of that age can have.
///
/// An age known only between ends takes in every band it touches; no age takes in all. The ranges by age are from
/// memory and wide: a paper that uses them must say so and ask for the measured height.
///
/// # Errors
/// [`Unusable`] when the measured height is not from [`LEAST_EYE_HEIGHT_CM`] to [`MOST_EYE_HEIGHT_CM`], or the age is
/// no range within 0 to [`MOST_AGE_YEARS`] years.
pub fn eye_height_cm(measured_cm: Option<f64>, age_years: Option<Span>) -> Result<Span, Unusable> {
    if let Some(measured) = measured_cm {
        return within(measured, LEAST_EYE_HEIGHT_CM, MOST_EYE_HEIGHT_CM).map(Span::exact);
    }
    let age = age_years
        .map(|age| range(age, 0.0, MOST_AGE_YEARS))
        .transpose()?;
    let mut from_years = 0.0;
    let mut heights = None;
    for (under_years, height) in EYE_HEIGHTS {
        if age.is_none_or(|age| age.low < under_years && age.high >= from_years) {
            heights = Some(heights.map_or(height, |joined: Span| joined.join(height)));
        }
        from_years = under_years;
    }
    // The bands leave out no age from 0 on, so one was found.
    heights.ok_or(Unusable::NotFinite)
}

/// Whether a face comes within reach in height: the gap between perch and eyes is less than the reach.
///
/// All in cm above the floor; heights 0 to [`MOST_HEIGHT_CM`], reach as for [`safe_line_cm`]. `None` for anything else,
/// and while the ranges leave it open.
#[must_use]
pub fn face_is_level(perch_height_cm: Span, eye_height: Span, reach: Span) -> Option<bool> {
    let perch = range(perch_height_cm, 0.0, MOST_HEIGHT_CM).ok()?;
    let eyes = range(eye_height, 0.0, MOST_HEIGHT_CM).ok()?;
    let reach = range(reach, LEAST_REACH_CM, MOST_REACH_CM).ok()?;
    let least_gap = (perch.low - eyes.high).max(eyes.low - perch.high);
    let most_gap = (perch.high - eyes.low).max(eyes.high - perch.low);
    if most_gap < reach.low {
        Some(true)
    } else if least_gap >= reach.high {
        Some(false)
    } else {
        None
    }
}

/// A range whose ends are in order and from `least` to `most`.
fn range(span: Span, least: f64, most: f64) -> Result<Span, Unusable> {
    let low = within(span.low, least, most)?;
    let high = within(span.high, low, most)?;
    Ok(Span { low, high })
}

#[cfg(test)]
mod tests {
    use super::{
        NoGo, Position, SizeClass, Span, Unusable, at_least_the_line, default_reach_cm,
        eye_height_cm, face_is_level, no_go, path_is_clear, reach_cm, room_to_walk, safe_line_cm,
    };

    const HALF_METRE: Span = Span::exact(50.0);
    const BACKWARDS: Span = Span {
        low: 60.0,
        high: 50.0,
    };

    fn outside<T>(least: f64, most: f64) -> Result<T, Unusable> {
        Err(Unusable::OutOfRange { least, most })
    }

    /// Ranges that are none: not finite, or with the ends the wrong way round.
    fn no_ranges() -> [Span; 5] {
        [
            Span::exact(f64::NAN),
            Span::exact(f64::INFINITY),
            Span {
                low: 50.0,
                high: f64::INFINITY,
            },
            Span::exact(-0.001),
            BACKWARDS,
        ]
    }

    // Common practice, no source.
    #[test]
    fn the_default_reach_is_that_of_common_practice() {
        let sizes = [SizeClass::Small, SizeClass::Medium, SizeClass::Large];
        assert_eq!(sizes.map(default_reach_cm), [30.0, 45.0, 75.0]);
        assert!(sizes.is_sorted());
        assert_eq!(
            reach_cm(None, SizeClass::Medium, SizeClass::Medium),
            Ok(Span::exact(45.0))
        );
        let unsure = Ok(Span::between(30.0, 75.0));
        assert_eq!(reach_cm(None, SizeClass::Small, SizeClass::Large), unsure);
        assert_eq!(reach_cm(None, SizeClass::Large, SizeClass::Small), unsure);
    }

    #[test]
    fn a_measured_reach_outranks_the_default() {
        for measured in [1.0, 20.0, 60.0, 200.0] {
            assert_eq!(
                reach_cm(Some(measured), SizeClass::Medium, SizeClass::Large),
                Ok(Span::exact(measured))
            );
        }
        for bad in [0.999, 0.0, -45.0, 200.001, 1e300] {
            assert_eq!(
                reach_cm(Some(bad), SizeClass::Small, SizeClass::Small),
                outside(1.0, 200.0)
            );
        }
        for bad in [f64::NAN, f64::INFINITY] {
            let refused = Err(Unusable::NotFinite);
            assert_eq!(
                reach_cm(Some(bad), SizeClass::Small, SizeClass::Small),
                refused
            );
        }
    }

    // Common practice, no source: 30 cm beyond the reach.
    #[test]
    fn the_safe_line_lies_a_margin_beyond_the_reach() {
        assert_eq!(safe_line_cm(Span::exact(45.0)), Ok(Span::exact(75.0)));
        assert_eq!(
            safe_line_cm(Span::between(30.0, 75.0)),
            Ok(Span::between(60.0, 105.0))
        );
        assert!(safe_line_cm(Span::between(1.0, 200.0)).is_ok());
        assert_eq!(safe_line_cm(Span::exact(0.5)), outside(1.0, 200.0));
        assert_eq!(
            safe_line_cm(Span::between(50.0, 201.0)),
            outside(50.0, 200.0)
        );
        assert_eq!(safe_line_cm(BACKWARDS), outside(60.0, 200.0));
        assert!(
            no_ranges()
                .into_iter()
                .all(|reach| safe_line_cm(reach).is_err())
        );
    }

    #[test]
    fn a_path_as_wide_as_the_line_lets_a_person_stand_and_a_body_more_lets_them_walk() {
        let line = Span::exact(75.0);
        assert_eq!(at_least_the_line(Some(74.9), line), Some(false));
        assert_eq!(at_least_the_line(Some(75.0), line), Some(true));
        assert_eq!(room_to_walk(Some(75.0), line), Some(false));
        assert_eq!(room_to_walk(Some(119.9), line), Some(false));
        assert_eq!(room_to_walk(Some(120.0), line), Some(true));
        assert_eq!(path_is_clear(Some(135.0), 60.0, line), Some(true));
        assert_eq!(path_is_clear(Some(134.9), 60.0, line), Some(false));
    }

    #[test]
    fn a_path_inside_the_range_of_the_line_is_left_open() {
        let line = Span::between(60.0, 105.0);
        assert_eq!(at_least_the_line(Some(59.9), line), Some(false));
        assert_eq!(at_least_the_line(Some(60.0), line), None);
        assert_eq!(at_least_the_line(Some(104.9), line), None);
        assert_eq!(at_least_the_line(Some(105.0), line), Some(true));
        assert_eq!(room_to_walk(Some(104.9), line), Some(false));
        assert_eq!(room_to_walk(Some(105.0), line), None);
        assert_eq!(room_to_walk(Some(149.9), line), None);
        assert_eq!(room_to_walk(Some(150.0), line), Some(true));
    }

    #[test]
    fn a_blank_or_impossible_path_says_nothing() {
        let line = Span::exact(75.0);
        assert_eq!(room_to_walk(None, line), None);
        for bad in [-0.001, 2_000.1, f64::NAN, f64::INFINITY] {
            assert_eq!(at_least_the_line(Some(bad), line), None);
            assert_eq!(room_to_walk(Some(bad), line), None);
            assert_eq!(path_is_clear(Some(100.0), bad, line), None);
        }
        assert_eq!(at_least_the_line(Some(0.0), line), Some(false));
        assert_eq!(at_least_the_line(Some(2_000.0), line), Some(true));
        assert_eq!(path_is_clear(Some(100.0), 2_000.0, line), Some(false));
        for bad in no_ranges() {
            assert_eq!(at_least_the_line(Some(100.0), bad), None);
        }
        // The longest safe line is 230 cm: the greatest reach and the margin.
        assert_eq!(
            at_least_the_line(Some(300.0), Span::exact(230.0)),
            Some(true)
        );
        assert_eq!(at_least_the_line(Some(300.0), Span::exact(230.1)), None);
        assert_eq!(at_least_the_line(Some(300.0), Span::exact(1.0)), Some(true));
        assert_eq!(at_least_the_line(Some(300.0), Span::exact(0.9)), None);
    }

    // Common practice, no source: distance behind bars and on a perch, the whole room in flight.
    #[test]
    fn a_bird_free_to_fly_closes_the_whole_room() {
        let (bars, perch) = (Span::exact(20.0), Span::exact(45.0));
        let at = |position| no_go(position, bars, perch);
        assert_eq!(at(Position::AtBars), NoGo::Distance(HALF_METRE));
        assert_eq!(at(Position::FromPerch), NoGo::Distance(Span::exact(75.0)));
        assert_eq!(at(Position::InFlight), NoGo::WholeRoom);
    }

    #[test]
    fn a_reach_that_is_no_range_closes_the_whole_room() {
        for bad in no_ranges() {
            assert_eq!(no_go(Position::AtBars, bad, HALF_METRE), NoGo::WholeRoom);
            assert_eq!(no_go(Position::FromPerch, HALF_METRE, bad), NoGo::WholeRoom);
        }
    }

    #[test]
    fn a_measured_eye_height_outranks_the_age() {
        let child = Some(Span::exact(4.0));
        for measured in [10.0, 120.0, 230.0] {
            assert_eq!(
                eye_height_cm(Some(measured), child),
                Ok(Span::exact(measured))
            );
        }
        for bad in [9.9, 230.1, 0.0, -100.0] {
            assert_eq!(eye_height_cm(Some(bad), child), outside(10.0, 230.0));
        }
        assert_eq!(
            eye_height_cm(Some(f64::NAN), child),
            Err(Unusable::NotFinite)
        );
    }

    // The ranges have no source: these lines hold what the program states, and show nothing about people.
    #[test]
    fn the_stated_eye_heights_by_age_are_kept() {
        let at = |age| eye_height_cm(None, Some(Span::exact(age))).unwrap();
        for age in [0.0, 2.99] {
            assert_eq!(at(age), Span::between(20.0, 160.0));
        }
        for age in [3.0, 5.99] {
            assert_eq!(at(age), Span::between(45.0, 110.0));
        }
        for age in [6.0, 11.99] {
            assert_eq!(at(age), Span::between(55.0, 150.0));
        }
        for age in [12.0, 40.0, 120.0] {
            assert_eq!(at(age), Span::between(90.0, 190.0));
        }
    }

    #[test]
    fn an_open_age_takes_in_every_band_it_touches() {
        let at = |low, high| eye_height_cm(None, Some(Span::between(low, high))).unwrap();
        assert_eq!(at(3.0, 6.0), Span::between(45.0, 150.0));
        assert_eq!(at(3.0, 5.9), Span::between(45.0, 110.0));
        assert_eq!(at(5.0, 13.0), Span::between(45.0, 190.0));
        assert_eq!(at(6.0, 12.0), Span::between(55.0, 190.0));
        assert_eq!(eye_height_cm(None, None), Ok(Span::between(20.0, 190.0)));
        assert_eq!(
            eye_height_cm(None, Some(Span::exact(-0.001))),
            outside(0.0, 120.0)
        );
        assert_eq!(
            eye_height_cm(None, Some(Span::between(20.0, 120.1))),
            outside(20.0, 120.0)
        );
        for bad in no_ranges() {
            assert!(eye_height_cm(None, Some(bad)).is_err());
        }
    }

    #[test]
    fn a_face_is_level_when_the_gap_is_less_than_the_reach() {
        let level = |perch, eyes| face_is_level(Span::exact(perch), Span::exact(eyes), HALF_METRE);
        for (perch, eyes) in [(150.0, 150.0), (150.0, 100.1), (100.1, 150.0)] {
            assert_eq!(level(perch, eyes), Some(true));
        }
        for (perch, eyes) in [(150.0, 100.0), (100.0, 150.0), (0.0, 170.0), (500.0, 0.0)] {
            assert_eq!(level(perch, eyes), Some(false));
        }
    }

    #[test]
    fn open_heights_leave_the_face_open_unless_every_pair_agrees() {
        let perch = Span::between(140.0, 150.0);
        let level = |eyes| face_is_level(perch, eyes, HALF_METRE);
        assert_eq!(level(Span::between(101.0, 189.0)), Some(true));
        assert_eq!(level(Span::between(100.0, 189.0)), None);
        assert_eq!(level(Span::between(101.0, 190.0)), None);
        assert_eq!(level(Span::between(60.0, 90.0)), Some(false));
        assert_eq!(level(Span::between(60.0, 90.1)), None);
        assert_eq!(level(Span::between(200.0, 220.0)), Some(false));
        assert_eq!(level(Span::between(199.9, 220.0)), None);
    }

    #[test]
    fn an_open_reach_leaves_the_face_open_between_its_ends() {
        let reach = Span::between(30.0, 75.0);
        let level = |eyes| face_is_level(Span::exact(150.0), Span::exact(eyes), reach);
        assert_eq!(level(120.1), Some(true));
        assert_eq!(level(120.0), None);
        assert_eq!(level(75.1), None);
        assert_eq!(level(75.0), Some(false));
    }

    #[test]
    fn impossible_heights_and_reaches_say_nothing_about_the_face() {
        let metre = Span::exact(100.0);
        for bad in no_ranges() {
            assert_eq!(face_is_level(bad, metre, HALF_METRE), None);
            assert_eq!(face_is_level(metre, bad, HALF_METRE), None);
            assert_eq!(face_is_level(metre, metre, bad), None);
        }
        let too_high = Span::exact(500.1);
        assert_eq!(face_is_level(too_high, too_high, HALF_METRE), None);
        assert_eq!(face_is_level(metre, too_high, HALF_METRE), None);
        assert_eq!(face_is_level(metre, metre, Span::exact(200.0)), Some(true));
        assert_eq!(face_is_level(metre, metre, Span::exact(200.1)), None);
        assert_eq!(face_is_level(metre, metre, Span::exact(1.0)), Some(true));
        assert_eq!(face_is_level(metre, metre, Span::exact(0.9)), None);
        let highest = Span::exact(500.0);
        assert_eq!(face_is_level(highest, highest, HALF_METRE), Some(true));
        let floor = Span::exact(0.0);
        assert_eq!(face_is_level(floor, floor, HALF_METRE), Some(true));
    }
}
