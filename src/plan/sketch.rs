//! The drawing of the room, in centimetres from its left and back wall. Shapes only; the words stand in the template.

use serde::Serialize;

use crate::facts::workings::{Spot, Use, Workings};
use crate::figures::floor_plan::Rect;

/// Smallest size of letters against the longer side of the room.
const TYPE_SHARE: f64 = 1.0 / 30.0;

/// A rectangle of the drawing, cm.
#[derive(Debug, Clone, Serialize)]
pub struct Shape {
    /// From the left wall.
    pub left: f64,
    /// From the back wall.
    pub back: f64,
    /// Left to right; below zero for a line that runs to the left.
    pub width: f64,
    /// Back to front; below zero for a line that runs to the back.
    pub depth: f64,
}

/// A stretch round the cage or a perch that people keep out of.
#[derive(Debug, Clone, Serialize)]
pub struct Zone {
    /// Where it is.
    #[serde(flatten)]
    pub shape: Shape,
    /// How far its corners are rounded.
    pub round: f64,
    /// True for the safe line, false for beak reach.
    pub margin: bool,
}

/// A place of the drawing.
#[derive(Debug, Clone, Serialize)]
pub struct Place {
    /// Where it is.
    #[serde(flatten)]
    pub at: Shape,
    /// Its number in the list below the drawing.
    pub number: usize,
    /// What it is, as the questionnaire's choice; empty when it was not told.
    pub kind: String,
    /// Its own word.
    pub label: Option<String>,
    /// How it is drawn: `line`, `opening`, `point` or `thing`.
    pub shape: &'static str,
    /// From the cage, cm.
    pub distance: Option<f64>,
    /// Whether people who stay or pass there are inside the safe line, or may be.
    pub inside: bool,
    /// Whether people stay or pass there.
    pub people: bool,
}

/// Where a number stands.
#[derive(Debug, Clone, Serialize)]
pub struct Mark {
    /// From the left wall.
    pub x: f64,
    /// From the back wall.
    pub y: f64,
    /// The number.
    pub number: usize,
    /// See [`Place::inside`].
    pub inside: bool,
}

/// The room from above.
#[derive(Debug, Clone, Serialize)]
pub struct Sketch {
    /// Left to right.
    pub width: f64,
    /// Back to front.
    pub depth: f64,
    /// Room for the frame.
    pub pad: f64,
    /// Size of letters.
    #[serde(rename = "type")]
    pub letters: f64,
    /// Width of a thin line.
    pub line: f64,
    /// Distance of the dots of a pattern.
    pub dot: f64,
    /// The cage.
    pub cage: Shape,
    /// Beak reach and safe lines.
    pub zones: Vec<Zone>,
    /// The places.
    pub spots: Vec<Place>,
    /// Their numbers.
    pub marks: Vec<Mark>,
    /// Beak reach past the bars, at the most.
    pub reach: f64,
    /// The safe line from the bars, at the most.
    pub safe_line: f64,
}

impl Sketch {
    /// Draws the room; `None` when it was not measured or the cage does not stand in it.
    #[must_use]
    pub fn of(workings: &Workings) -> Option<Self> {
        let (width, depth, cage) = workings.room.drawn()?;
        let reach = workings.reach.as_ref()?;
        let letters = width.max(depth) * TYPE_SHARE;
        let spots: Vec<Place> = workings
            .room
            .spots
            .iter()
            .flatten()
            .enumerate()
            .filter_map(|(at, spot)| place(at + 1, spot))
            .collect();
        let mut zones = vec![
            around(&cage, reach.at_bars_cm.high, false),
            around(&cage, reach.line_at_bars_cm.high, true),
        ];
        for spot in workings.room.spots.iter().flatten() {
            if let (Some(Use::Bird), Some(from)) = (spot.usage, spot.from) {
                let perch = Rect {
                    left_cm: from.x_cm,
                    back_cm: from.y_cm,
                    width_cm: 0.0,
                    depth_cm: 0.0,
                };
                zones.push(around(&perch, reach.from_perch_cm.high, false));
                zones.push(around(&perch, reach.line_from_perch_cm.high, true));
            }
        }
        // All reach lies under all lines.
        zones.sort_by_key(|zone| zone.margin);
        let marks = marks(&spots, letters, width, depth);
        Some(Self {
            width,
            depth,
            pad: tenth(letters * 1.2),
            letters: tenth(letters),
            line: tenth(letters / 9.0),
            dot: tenth(letters * 0.7),
            cage: Shape {
                left: tenth(cage.left_cm),
                back: tenth(cage.back_cm),
                width: tenth(cage.width_cm),
                depth: tenth(cage.depth_cm),
            },
            zones,
            marks,
            spots,
            reach: reach.at_bars_cm.high,
            safe_line: reach.line_at_bars_cm.high,
        })
    }
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn around(rect: &Rect, by_cm: f64, margin: bool) -> Zone {
    Zone {
        shape: Shape {
            left: tenth(rect.left_cm - by_cm),
            back: tenth(rect.back_cm - by_cm),
            width: tenth(rect.width_cm + 2.0 * by_cm),
            depth: tenth(rect.depth_cm + 2.0 * by_cm),
        },
        round: tenth(by_cm),
        margin,
    }
}

fn place(number: usize, spot: &Spot) -> Option<Place> {
    let (from, to) = (spot.from?, spot.to?);
    let (width, depth) = (to.x_cm - from.x_cm, to.y_cm - from.y_cm);
    let shape = match spot.kind.as_str() {
        "path" => "line",
        "door" | "window" | "screen" if width != 0.0 || depth != 0.0 => "opening",
        _ if width == 0.0 || depth == 0.0 => "point",
        _ => "thing",
    };
    let people = matches!(spot.usage, Some(Use::Stays | Use::Passes));
    // A line keeps its direction; a thing is drawn from its nearest corner.
    let keeps = matches!(shape, "line" | "opening");
    Some(Place {
        at: Shape {
            left: tenth(if keeps {
                from.x_cm
            } else {
                from.x_cm.min(to.x_cm)
            }),
            back: tenth(if keeps {
                from.y_cm
            } else {
                from.y_cm.min(to.y_cm)
            }),
            width: tenth(if keeps { width } else { width.abs() }),
            depth: tenth(if keeps { depth } else { depth.abs() }),
        },
        number,
        kind: spot.kind.clone(),
        label: spot.label.clone(),
        shape,
        distance: spot.distance_cm.map(f64::round),
        inside: people && spot.inside != Some(false),
        people,
    })
}

/// Numbers in the middle of their places, moved apart where they would cover each other.
fn marks(spots: &[Place], letters: f64, width: f64, depth: f64) -> Vec<Mark> {
    let across = letters * 1.6;
    let edge = letters * 0.4;
    let mut marks: Vec<Mark> = Vec::new();
    for spot in spots {
        let (mut x, mut y) = (
            spot.at.left + spot.at.width / 2.0,
            spot.at.back + spot.at.depth / 2.0,
        );
        // A point stays to be seen beside its number.
        if spot.shape == "point" {
            x += across * 0.7;
        }
        for _ in 0..12 {
            let Some(other) = marks
                .iter()
                .find(|other| (other.x - x).hypot(other.y - y) < across)
            else {
                break;
            };
            // To the side with more room, along the line between the two.
            let (dx, dy) = (x - other.x, y - other.y);
            let far = dx.hypot(dy);
            let (dx, dy) = if far < 0.1 {
                (1.0, 0.0)
            } else {
                (dx / far, dy / far)
            };
            (x, y) = (other.x + dx * across * 1.01, other.y + dy * across * 1.01);
        }
        marks.push(Mark {
            x: tenth(x.clamp(edge, (width - edge).max(edge))),
            y: tenth(y.clamp(edge, (depth - edge).max(edge))),
            number: spot.number,
            inside: spot.inside,
        });
    }
    marks
}
