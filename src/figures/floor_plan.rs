//! Distances on a floor plan. All lengths in cm; x grows from the left wall to the right, y from the back wall forward.
//!
//! Plane geometry: exact for rectangles whose sides run along the walls, but for rounding in the last digits.

use super::input::{Unusable, above_zero, within};

/// Greatest length or coordinate on a plan, cm: far beyond any room of a home.
pub const MOST_CM: f64 = 10_000.0;

/// A place on the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Distance to the right, cm.
    pub x_cm: f64,
    /// Distance forward, cm.
    pub y_cm: f64,
}

/// A cage, a piece of furniture or a room: a rectangle with its sides along the walls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Where its left side is, cm.
    pub left_cm: f64,
    /// Where its back is, cm.
    pub back_cm: f64,
    /// Its size from left to right, cm.
    pub width_cm: f64,
    /// Its size from back to front, cm.
    pub depth_cm: f64,
}

/// The clear way from each side of a rectangle to the wall that side faces, cm; 0 where it stands against the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClearWays {
    /// To the left wall.
    pub left_cm: f64,
    /// To the right wall.
    pub right_cm: f64,
    /// To the back wall.
    pub back_cm: f64,
    /// To the front wall.
    pub front_cm: f64,
}

impl ClearWays {
    /// The narrowest of the four, cm.
    #[must_use]
    pub const fn least_cm(self) -> f64 {
        self.left_cm
            .min(self.right_cm)
            .min(self.back_cm.min(self.front_cm))
    }
}

/// The least distance from a place to a rectangle, cm; 0 on its edge and inside.
///
/// # Errors
/// [`Unusable`] when a coordinate is not finite or beyond [`MOST_CM`] either way, or a side is not above zero or longer
/// than [`MOST_CM`].
pub fn distance_to_rect(place: Point, rect: &Rect) -> Result<f64, Unusable> {
    check_place(place)?;
    check_rect(rect)?;
    Ok(from_place(place, rect))
}

/// The least distance from a straight way between two places to a rectangle, cm; 0 when it crosses or touches.
///
/// # Errors
/// As for [`distance_to_rect`].
pub fn segment_distance_to_rect(from: Point, to: Point, rect: &Rect) -> Result<f64, Unusable> {
    check_place(from)?;
    check_place(to)?;
    check_rect(rect)?;
    if crosses(from, to, rect) {
        return Ok(0.0);
    }
    // Apart, the nearest pair holds an end of the way or a corner of the rectangle. A way of no length is its end: its
    // distance to a corner is no number, and `f64::min` passes over that.
    let nearest_end = from_place(from, rect).min(from_place(to, rect));
    Ok(rect
        .corners()
        .into_iter()
        .map(|corner| to_way(corner, from, to))
        .fold(nearest_end, f64::min))
}

/// Whether a place is in a room, its walls included.
///
/// # Errors
/// As for [`distance_to_rect`].
pub fn inside_room(place: Point, room: &Rect) -> Result<bool, Unusable> {
    distance_to_rect(place, room).map(|distance| distance <= 0.0)
}

/// The least clear way between two rectangles, cm; 0 when they touch or overlap.
///
/// # Errors
/// As for [`distance_to_rect`].
pub fn pinch_cm(one: &Rect, other: &Rect) -> Result<f64, Unusable> {
    check_rect(one)?;
    check_rect(other)?;
    let across = gap(
        (one.left_cm, one.right_cm()),
        (other.left_cm, other.right_cm()),
    );
    let along = gap(
        (one.back_cm, one.front_cm()),
        (other.back_cm, other.front_cm()),
    );
    Ok(across.hypot(along))
}

/// The clear way between a rectangle and each wall of the room it stands in.
///
/// # Errors
/// As for [`distance_to_rect`], and when the rectangle is not wholly in the room.
pub fn clear_ways(rect: &Rect, room: &Rect) -> Result<ClearWays, Unusable> {
    check_rect(rect)?;
    check_rect(room)?;
    let in_width = |way| within(way, 0.0, room.width_cm);
    let in_depth = |way| within(way, 0.0, room.depth_cm);
    Ok(ClearWays {
        left_cm: in_width(rect.left_cm - room.left_cm)?,
        right_cm: in_width(room.right_cm() - rect.right_cm())?,
        back_cm: in_depth(rect.back_cm - room.back_cm)?,
        front_cm: in_depth(room.front_cm() - rect.front_cm())?,
    })
}

impl Rect {
    fn right_cm(&self) -> f64 {
        self.left_cm + self.width_cm
    }

    fn front_cm(&self) -> f64 {
        self.back_cm + self.depth_cm
    }

    fn corners(&self) -> [Point; 4] {
        let corner = |x_cm, y_cm| Point { x_cm, y_cm };
        [
            corner(self.left_cm, self.back_cm),
            corner(self.right_cm(), self.back_cm),
            corner(self.right_cm(), self.front_cm()),
            corner(self.left_cm, self.front_cm()),
        ]
    }
}

fn check_place(place: Point) -> Result<(), Unusable> {
    within(place.x_cm, -MOST_CM, MOST_CM)?;
    within(place.y_cm, -MOST_CM, MOST_CM)?;
    Ok(())
}

fn check_rect(rect: &Rect) -> Result<(), Unusable> {
    check_place(Point {
        x_cm: rect.left_cm,
        y_cm: rect.back_cm,
    })?;
    for side in [rect.width_cm, rect.depth_cm] {
        within(above_zero(side)?, 0.0, MOST_CM)?;
    }
    Ok(())
}

/// The gap between two ranges on one axis; 0 when they meet.
fn gap(one: (f64, f64), other: (f64, f64)) -> f64 {
    (other.0 - one.1).max(one.0 - other.1).max(0.0)
}

fn from_place(place: Point, rect: &Rect) -> f64 {
    let across = gap((place.x_cm, place.x_cm), (rect.left_cm, rect.right_cm()));
    let along = gap((place.y_cm, place.y_cm), (rect.back_cm, rect.front_cm()));
    across.hypot(along)
}

/// True when the way crosses or touches the rectangle: no line along a wall and no line along the way parts them.
fn crosses(from: Point, to: Point, rect: &Rect) -> bool {
    let spread = |one: f64, other: f64| (one.min(other), one.max(other));
    let across = gap(spread(from.x_cm, to.x_cm), (rect.left_cm, rect.right_cm()));
    let along = gap(spread(from.y_cm, to.y_cm), (rect.back_cm, rect.front_cm()));
    let sides = rect.corners().map(|corner| side_of(corner, from, to));
    let corners = (
        sides.into_iter().fold(f64::INFINITY, f64::min),
        sides.into_iter().fold(f64::NEG_INFINITY, f64::max),
    );
    across.max(along).max(gap(corners, (0.0, 0.0))) <= 0.0
}

/// Above zero on one side of the line through `from` and `to`, below zero on the other.
fn side_of(place: Point, from: Point, to: Point) -> f64 {
    (to.x_cm - from.x_cm) * (place.y_cm - from.y_cm)
        - (to.y_cm - from.y_cm) * (place.x_cm - from.x_cm)
}

/// The least distance from a place to a straight way; no number when the way has no length.
fn to_way(place: Point, from: Point, to: Point) -> f64 {
    let (x, y) = (to.x_cm - from.x_cm, to.y_cm - from.y_cm);
    let (dx, dy) = (place.x_cm - from.x_cm, place.y_cm - from.y_cm);
    let share = ((dx * x + dy * y) / (x * x + y * y)).clamp(0.0, 1.0);
    (dx - share * x).hypot(dy - share * y)
}

#[cfg(test)]
mod tests {
    use super::{
        ClearWays, Point, Rect, Unusable, clear_ways, distance_to_rect, inside_room, pinch_cm,
        segment_distance_to_rect,
    };

    /// A cage of 60 by 40 cm whose back left corner is 100 cm from the left wall and 50 cm from the back.
    const CAGE: Rect = Rect {
        left_cm: 100.0,
        back_cm: 50.0,
        width_cm: 60.0,
        depth_cm: 40.0,
    };

    /// A room of 400 by 300 cm.
    const ROOM: Rect = Rect {
        left_cm: 0.0,
        back_cm: 0.0,
        width_cm: 400.0,
        depth_cm: 300.0,
    };

    fn at(x_cm: f64, y_cm: f64) -> Point {
        Point { x_cm, y_cm }
    }

    fn rect(left_cm: f64, back_cm: f64, width_cm: f64, depth_cm: f64) -> Rect {
        Rect {
            left_cm,
            back_cm,
            width_cm,
            depth_cm,
        }
    }

    fn near(got: Result<f64, Unusable>, expected: f64) {
        let got = got.unwrap();
        assert!((got - expected).abs() < 1e-9, "{got} is not {expected}");
    }

    // Euclid I.47: the triangles 3-4-5, 5-12-13 and 8-15-17 at the corners; straight lines at the sides.
    #[test]
    fn a_place_is_as_far_as_the_right_triangle_at_the_corner() {
        near(distance_to_rect(at(97.0, 46.0), &CAGE), 5.0);
        near(distance_to_rect(at(172.0, 45.0), &CAGE), 13.0);
        near(distance_to_rect(at(168.0, 105.0), &CAGE), 17.0);
        near(distance_to_rect(at(70.0, 130.0), &CAGE), 50.0);
        near(distance_to_rect(at(130.0, 20.0), &CAGE), 30.0);
        near(distance_to_rect(at(130.0, 95.0), &CAGE), 5.0);
        near(distance_to_rect(at(75.0, 60.0), &CAGE), 25.0);
        near(distance_to_rect(at(161.0, 60.0), &CAGE), 1.0);
    }

    #[test]
    fn a_place_on_the_edge_or_inside_has_no_distance() {
        for (x, y) in [(100.0, 50.0), (160.0, 90.0), (130.0, 50.0), (130.0, 70.0)] {
            assert_eq!(distance_to_rect(at(x, y), &CAGE), Ok(0.0));
        }
    }

    #[test]
    fn a_way_through_the_cage_has_no_distance() {
        for (from, to) in [
            (at(0.0, 70.0), at(400.0, 70.0)),
            (at(130.0, 0.0), at(130.0, 300.0)),
            (at(90.0, 80.0), at(110.0, 100.0)),
            (at(90.0, 45.0), at(170.0, 95.0)),
            (at(170.0, 45.0), at(90.0, 95.0)),
            (at(130.0, 70.0), at(140.0, 71.0)),
            (at(130.0, 70.0), at(300.0, 70.0)),
        ] {
            assert_eq!(segment_distance_to_rect(from, to, &CAGE), Ok(0.0));
            assert_eq!(segment_distance_to_rect(to, from, &CAGE), Ok(0.0));
        }
    }

    #[test]
    fn a_way_that_only_touches_has_no_distance() {
        for (from, to) in [
            (at(0.0, 50.0), at(400.0, 50.0)),
            (at(100.0, 0.0), at(100.0, 300.0)),
            (at(90.0, 60.0), at(110.0, 40.0)),
            (at(160.0, 70.0), at(200.0, 70.0)),
        ] {
            near(segment_distance_to_rect(from, to, &CAGE), 0.0);
        }
    }

    #[test]
    fn a_way_beside_the_cage_is_as_far_as_the_nearest_side() {
        let way = |from, to| segment_distance_to_rect(from, to, &CAGE);
        near(way(at(0.0, 20.0), at(400.0, 20.0)), 30.0);
        near(way(at(0.0, 120.0), at(400.0, 120.0)), 30.0);
        near(way(at(60.0, 0.0), at(60.0, 300.0)), 40.0);
        near(way(at(200.0, 0.0), at(200.0, 300.0)), 40.0);
    }

    // Euclid I.47: a slanting way passes the back left corner where the triangle 3-4-5 stands on it.
    #[test]
    fn a_slanting_way_is_nearest_at_a_corner() {
        let way = |from, to| segment_distance_to_rect(from, to, &CAGE);
        near(way(at(57.0, 76.0), at(137.0, 16.0)), 5.0);
        near(way(at(137.0, 16.0), at(57.0, 76.0)), 5.0);
        // The same beside the other three corners.
        near(way(at(123.0, 16.0), at(203.0, 76.0)), 5.0);
        near(way(at(123.0, 124.0), at(203.0, 64.0)), 5.0);
        near(way(at(57.0, 64.0), at(137.0, 124.0)), 5.0);
    }

    // The foot of the corner lies half a centimetre inside the end of the way, which is itself a little farther off.
    #[test]
    fn a_corner_close_to_the_end_of_a_way_still_counts() {
        let (end, other) = (at(96.6, 46.3), at(176.6, -13.7));
        near(distance_to_rect(end, &CAGE), 25.25_f64.sqrt());
        near(segment_distance_to_rect(end, other, &CAGE), 5.0);
        near(segment_distance_to_rect(other, end, &CAGE), 5.0);
    }

    #[test]
    fn half_a_millimetre_is_measured_like_a_metre() {
        let grain = rect(0.0, 0.0, 0.05, 0.05);
        let both = |one, other, expected| {
            near(segment_distance_to_rect(one, other, &grain), expected);
            near(segment_distance_to_rect(other, one, &grain), expected);
        };
        both(at(-0.01, 0.02), at(0.06, 0.03), 0.0);
        both(at(-0.02, 0.01), at(0.01, -0.02), 0.01 / 2.0_f64.sqrt());
    }

    #[test]
    fn a_way_that_stops_short_is_nearest_at_its_end() {
        let way = |from, to| segment_distance_to_rect(from, to, &CAGE);
        near(way(at(0.0, 70.0), at(90.0, 70.0)), 10.0);
        near(way(at(97.0, 46.0), at(0.0, 0.0)), 5.0);
        near(way(at(300.0, 300.0), at(168.0, 105.0)), 17.0);
        // In line with the front side, but short of it.
        near(way(at(0.0, 90.0), at(80.0, 90.0)), 20.0);
    }

    #[test]
    fn a_way_of_no_length_is_a_place() {
        for place in [at(97.0, 46.0), at(130.0, 70.0), at(300.0, 60.0)] {
            assert_eq!(
                segment_distance_to_rect(place, place, &CAGE),
                distance_to_rect(place, &CAGE)
            );
        }
    }

    // Walking along the way in small steps finds no place nearer than the answer, and one as near.
    #[test]
    fn the_distance_of_a_way_is_that_of_its_nearest_place() {
        let ends = [-40.0, 35.0, 100.0, 128.0, 160.0, 215.0];
        for (x, y) in ends.into_iter().flat_map(|x| ends.map(|y| (x, y))) {
            for (to_x, to_y) in ends.into_iter().flat_map(|x| ends.map(|y| (x, y))) {
                let (from, to) = (at(x, y), at(to_x, to_y));
                let answer = segment_distance_to_rect(from, to, &CAGE).unwrap();
                let walked = (0..=2_000)
                    .map(|step| f64::from(step) / 2_000.0)
                    .map(|share| at(x + share * (to_x - x), y + share * (to_y - y)))
                    .map(|place| distance_to_rect(place, &CAGE).unwrap())
                    .fold(f64::INFINITY, f64::min);
                assert!(walked >= answer - 1e-9, "{from:?} {to:?}");
                assert!(walked <= answer + 0.2, "{from:?} {to:?} {answer} {walked}");
            }
        }
    }

    #[test]
    fn the_walls_belong_to_the_room() {
        for (x, y) in [(0.0, 0.0), (400.0, 300.0), (200.0, 150.0)] {
            assert_eq!(inside_room(at(x, y), &ROOM), Ok(true));
        }
        for (x, y) in [
            (-0.001, 150.0),
            (400.001, 150.0),
            (200.0, -0.001),
            (200.0, 300.001),
        ] {
            assert_eq!(inside_room(at(x, y), &ROOM), Ok(false));
        }
    }

    // Euclid I.47 for corner to corner.
    #[test]
    fn the_pinch_between_two_things_is_their_least_gap() {
        near(pinch_cm(&CAGE, &rect(200.0, 50.0, 50.0, 40.0)), 40.0);
        near(pinch_cm(&CAGE, &rect(20.0, 60.0, 50.0, 200.0)), 30.0);
        near(pinch_cm(&CAGE, &rect(110.0, 115.0, 10.0, 10.0)), 25.0);
        near(pinch_cm(&CAGE, &rect(110.0, 10.0, 10.0, 10.0)), 30.0);
        near(pinch_cm(&CAGE, &rect(190.0, 130.0, 10.0, 10.0)), 50.0);
        near(pinch_cm(&CAGE, &rect(38.0, 2.0, 50.0, 43.0)), 13.0);
        for meeting in [
            rect(160.0, 50.0, 5.0, 5.0),
            rect(120.0, 60.0, 5.0, 5.0),
            CAGE,
        ] {
            assert_eq!(pinch_cm(&CAGE, &meeting), Ok(0.0));
            assert_eq!(pinch_cm(&meeting, &CAGE), Ok(0.0));
        }
    }

    #[test]
    fn the_clear_ways_are_the_gaps_to_the_four_walls() {
        let ways = clear_ways(&CAGE, &ROOM).unwrap();
        let expected = ClearWays {
            left_cm: 100.0,
            right_cm: 240.0,
            back_cm: 50.0,
            front_cm: 210.0,
        };
        assert_eq!(ways, expected);
        assert_eq!(ways.least_cm(), 50.0);
        let corner = clear_ways(&rect(0.0, 260.0, 60.0, 40.0), &ROOM).unwrap();
        assert_eq!((corner.left_cm, corner.front_cm), (0.0, 0.0));
        assert_eq!(corner.least_cm(), 0.0);
        let shifted = clear_ways(
            &rect(130.0, 110.0, 60.0, 40.0),
            &rect(30.0, 60.0, 400.0, 300.0),
        );
        assert_eq!(shifted, Ok(expected));
    }

    #[test]
    fn the_narrowest_clear_way_may_be_on_any_side() {
        for (left, back) in [(10.0, 100.0), (330.0, 100.0), (100.0, 10.0), (100.0, 250.0)] {
            let ways = clear_ways(&rect(left, back, 60.0, 40.0), &ROOM).unwrap();
            assert_eq!(ways.least_cm(), 10.0);
        }
    }

    #[test]
    fn a_thing_that_sticks_through_a_wall_is_refused() {
        let outside = |most| Err(Unusable::OutOfRange { least: 0.0, most });
        assert_eq!(
            clear_ways(&rect(-1.0, 50.0, 60.0, 40.0), &ROOM),
            outside(400.0)
        );
        assert_eq!(
            clear_ways(&rect(341.0, 50.0, 60.0, 40.0), &ROOM),
            outside(400.0)
        );
        assert_eq!(
            clear_ways(&rect(50.0, -1.0, 60.0, 40.0), &ROOM),
            outside(300.0)
        );
        assert_eq!(
            clear_ways(&rect(50.0, 261.0, 60.0, 40.0), &ROOM),
            outside(300.0)
        );
    }

    #[test]
    fn impossible_places_and_sizes_are_refused() {
        let place = at(0.0, 0.0);
        let far = Unusable::OutOfRange {
            least: -10_000.0,
            most: 10_000.0,
        };
        for (bad, why) in [
            (f64::NAN, Unusable::NotFinite),
            (f64::INFINITY, Unusable::NotFinite),
            (10_000.1, far),
            (-10_000.1, far),
        ] {
            for off in [at(bad, 0.0), at(0.0, bad)] {
                assert_eq!(distance_to_rect(off, &CAGE), Err(why));
                assert_eq!(inside_room(off, &ROOM), Err(why));
                assert_eq!(segment_distance_to_rect(off, place, &CAGE), Err(why));
                assert_eq!(segment_distance_to_rect(place, off, &CAGE), Err(why));
            }
            for off in [rect(bad, 0.0, 1.0, 1.0), rect(0.0, bad, 1.0, 1.0)] {
                assert_eq!(distance_to_rect(place, &off), Err(why));
                assert_eq!(pinch_cm(&off, &CAGE), Err(why));
                assert_eq!(pinch_cm(&CAGE, &off), Err(why));
            }
        }
        let too_long = Unusable::OutOfRange {
            least: 0.0,
            most: 10_000.0,
        };
        for (bad, why) in [
            (0.0, Unusable::NotAboveZero),
            (-1.0, Unusable::NotAboveZero),
            (10_000.1, too_long),
            (f64::NAN, Unusable::NotFinite),
        ] {
            for off in [rect(0.0, 0.0, bad, 1.0), rect(0.0, 0.0, 1.0, bad)] {
                assert_eq!(distance_to_rect(place, &off), Err(why));
                assert_eq!(segment_distance_to_rect(place, place, &off), Err(why));
                assert_eq!(clear_ways(&off, &ROOM), Err(why));
                assert_eq!(clear_ways(&CAGE, &off), Err(why));
            }
        }
        let edge = rect(-10_000.0, 10_000.0, 10_000.0, 10_000.0);
        assert!(distance_to_rect(at(10_000.0, -10_000.0), &edge).is_ok());
    }
}
