//! Beak reach, the safe line and the room.

use crate::figures::floor_plan::{Point, Rect, pinch_cm, segment_distance_to_rect};
use crate::figures::reach::{
    at_least_the_line, eye_height_cm, face_is_level as level, reach_cm, room_to_walk, safe_line_cm,
};
use crate::figures::span::Span;

use super::super::case::Case;
use super::Kind;

/// What is known of reach.
#[derive(Debug, Clone, PartialEq)]
pub struct ReachFigures {
    /// Reach past the bars as measured, cm.
    pub measured_at_bars_cm: Option<f64>,
    /// Reach from the perch as measured, cm.
    pub measured_from_perch_cm: Option<f64>,
    /// Reach past the bars, cm.
    pub at_bars_cm: Span,
    /// Reach from the perch, cm.
    pub from_perch_cm: Span,
    /// The safe line from the bars, cm.
    pub line_at_bars_cm: Span,
    /// The safe line from the perch, cm.
    pub line_from_perch_cm: Span,
    /// The way past the cage as told, cm.
    pub path_cm: Option<f64>,
    /// Height of the highest perch, cm.
    pub perch_height_cm: Option<f64>,
}

impl ReachFigures {
    /// Works it out. `None` when a measured reach is none.
    #[must_use]
    pub fn of(case: &Case<'_>, kind: &Kind) -> Option<Self> {
        let slots = &case.vocabulary.slots;
        let (least, most) = kind.sizes();
        let reach = |measured| reach_cm(measured, least, most).ok();
        let measured_at_bars_cm = case.number(slots.reach_at_bars);
        let measured_from_perch_cm = case.number(slots.reach_from_perch);
        let (at_bars_cm, from_perch_cm) =
            (reach(measured_at_bars_cm)?, reach(measured_from_perch_cm)?);
        Some(Self {
            measured_at_bars_cm,
            measured_from_perch_cm,
            at_bars_cm,
            from_perch_cm,
            line_at_bars_cm: safe_line_cm(at_bars_cm).ok()?,
            line_from_perch_cm: safe_line_cm(from_perch_cm).ok()?,
            path_cm: case.number(slots.path_width),
            perch_height_cm: case.number(slots.perch_height),
        })
    }

    /// Whether people can pass outside the safe line.
    #[must_use]
    pub fn path_clear(&self) -> Option<bool> {
        at_least_the_line(self.path_cm, self.line_at_bars_cm)
    }

    /// Whether a body fits past the safe line.
    #[must_use]
    pub fn room_to_walk(&self) -> Option<bool> {
        room_to_walk(self.path_cm, self.line_at_bars_cm)
    }

    /// Whether a face with eyes at a height comes within reach of the highest perch.
    #[must_use]
    pub fn face_is_level(&self, eyes_cm: Option<Span>) -> Option<bool> {
        level(
            Span::exact(self.perch_height_cm?),
            eyes_cm?,
            self.from_perch_cm,
        )
    }
}

/// A person's eye height, as measured or by age, cm.
#[must_use]
pub fn eye_height(measured_cm: Option<f64>, age_years: Option<Span>) -> Option<Span> {
    eye_height_cm(measured_cm, age_years).ok()
}

/// What a place in the room is to the safe line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// People sit, stand or play there.
    Stays,
    /// People walk there.
    Passes,
    /// The bird is there.
    Bird,
    /// A thing.
    Thing,
}

/// One place in the room.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// What it is, as the questionnaire's choice; empty when it was not told.
    pub kind: String,
    /// What the drawing calls it.
    pub label: Option<String>,
    /// What it is used for; `None` when it was not told.
    pub usage: Option<Use>,
    /// One end of it, cm from the left and the back wall.
    pub from: Option<Point>,
    /// Its other end.
    pub to: Option<Point>,
    /// From the cage, cm.
    pub distance_cm: Option<f64>,
    /// Whether it is nearer to the cage than the safe line.
    pub inside: Option<bool>,
}

/// The room with the cage.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// Left to right, cm.
    pub width_cm: Option<f64>,
    /// Back to front, cm.
    pub depth_cm: Option<f64>,
    /// The cage.
    pub cage: Option<Rect>,
    /// The places in it; `None` when none was told.
    pub spots: Option<Vec<Spot>>,
}

impl Room {
    /// Works it out.
    #[must_use]
    pub fn of(case: &Case<'_>, reach: Option<&ReachFigures>) -> Self {
        let slots = &case.vocabulary.slots;
        let cage = cage(case);
        let spots = case.entries(slots.spot_kind).map(|spots| {
            (0..spots.len())
                .map(|item| spot(case, item, cage.as_ref(), reach))
                .collect()
        });
        Self {
            width_cm: case.number(slots.room_width),
            depth_cm: case.number(slots.room_depth),
            cage,
            spots,
        }
    }

    /// How many places of a use lie inside the safe line: at least, at most.
    #[must_use]
    pub fn inside(&self, usage: Use) -> Option<(u32, u32)> {
        let spots = self.spots.as_ref()?;
        let (mut least, mut most) = (0, 0);
        for spot in spots {
            let is = spot.usage.map(|it| it == usage);
            least += u32::from(is == Some(true) && spot.inside == Some(true));
            most += u32::from(is != Some(false) && spot.inside != Some(false));
        }
        Some((least, most))
    }

    /// The room, when its size is known and the cage stands in it.
    #[must_use]
    pub fn drawn(&self) -> Option<(f64, f64, Rect)> {
        let (width, depth, cage) = (self.width_cm?, self.depth_cm?, self.cage?);
        let fits = cage.left_cm + cage.width_cm <= width && cage.back_cm + cage.depth_cm <= depth;
        fits.then_some((width, depth, cage))
    }
}

fn cage(case: &Case<'_>) -> Option<Rect> {
    let slots = &case.vocabulary.slots;
    let sides = (
        case.number(slots.cage_length)?,
        case.number(slots.cage_width)?,
    );
    let (long, short) = (sides.0.max(sides.1), sides.0.min(sides.1));
    let turned = case.yes(slots.room_cage_turned).unwrap_or(false);
    Some(Rect {
        left_cm: case.number(slots.room_cage_left)?,
        back_cm: case.number(slots.room_cage_back)?,
        width_cm: if turned { short } else { long },
        depth_cm: if turned { long } else { short },
    })
}

fn spot(case: &Case<'_>, item: usize, cage: Option<&Rect>, reach: Option<&ReachFigures>) -> Spot {
    let slots = &case.vocabulary.slots;
    let kind = case.choice_of(slots.spot_kind, item);
    let point = |x, y| {
        Some(Point {
            x_cm: case.number_of(x, item)?,
            y_cm: case.number_of(y, item)?,
        })
    };
    let from = point(slots.spot_left, slots.spot_back);
    // A thing with one end told in one direction only is as wide as a point in the other.
    let to = from.map(|from| Point {
        x_cm: case
            .number_of(slots.spot_to_left, item)
            .unwrap_or(from.x_cm),
        y_cm: case
            .number_of(slots.spot_to_back, item)
            .unwrap_or(from.y_cm),
    });
    let distance_cm = match (cage, from, to) {
        (Some(cage), Some(from), Some(to)) => distance(kind, from, to, cage),
        _ => None,
    };
    Spot {
        kind: kind.unwrap_or_default().to_owned(),
        label: case.text_of(slots.spot_label, item).map(str::to_owned),
        usage: kind.map(usage),
        from,
        to,
        distance_cm,
        inside: distance_cm.zip(reach).and_then(|(distance, reach)| {
            let line = reach.line_at_bars_cm;
            if distance < line.low {
                Some(true)
            } else if distance >= line.high {
                Some(false)
            } else {
                None
            }
        }),
    }
}

fn distance(kind: Option<&str>, from: Point, to: Point, cage: &Rect) -> Option<f64> {
    let (width, depth) = ((to.x_cm - from.x_cm).abs(), (to.y_cm - from.y_cm).abs());
    let is_line = matches!(kind, Some("path" | "door" | "window" | "screen"));
    if is_line || width <= 0.0 || depth <= 0.0 {
        return segment_distance_to_rect(from, to, cage).ok();
    }
    let thing = Rect {
        left_cm: from.x_cm.min(to.x_cm),
        back_cm: from.y_cm.min(to.y_cm),
        width_cm: width,
        depth_cm: depth,
    };
    pinch_cm(&thing, cage).ok()
}

fn usage(kind: &str) -> Use {
    match kind {
        "seat" | "play place" | "start place" => Use::Stays,
        "door" | "path" => Use::Passes,
        "station" | "perch" => Use::Bird,
        _ => Use::Thing,
    }
}
