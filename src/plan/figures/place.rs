//! What is told of reach, faces and the room.

use serde_json::{Value as Json, json};

use crate::facts::Value;
use crate::facts::case::range;
use crate::facts::workings::{Use, eye_height};
use crate::figures::floor_plan::{Rect, clear_ways};
use crate::figures::reach::{BODY_WIDTH_CM, MARGIN_CM};

use super::{Sheet, span};

impl Sheet<'_> {
    pub(super) fn reach(&self) -> Json {
        let Some(reach) = &self.workings.reach else {
            return Json::Null;
        };
        json!({
            "at_bars_cm": span(Some(reach.at_bars_cm)),
            "at_bars_measured": reach.measured_at_bars_cm.is_some(),
            "from_perch_cm": span(Some(reach.from_perch_cm)),
            "from_perch_measured": reach.measured_from_perch_cm.is_some(),
            "line_at_bars_cm": span(Some(reach.line_at_bars_cm)),
            "line_from_perch_cm": span(Some(reach.line_from_perch_cm)),
            "margin_cm": MARGIN_CM,
            "body_cm": BODY_WIDTH_CM,
            "path_cm": reach.path_cm,
            "path_clear": reach.path_clear(),
            "room_to_walk": reach.room_to_walk(),
            "flies": self.case.once(self.case.vocabulary.slots.bird_flight).is_none_or(|value| {
                !matches!(value, Value::Choice(2))
            }),
        })
    }

    pub(super) fn faces(&self) -> Json {
        let slots = &self.case.vocabulary.slots;
        let people = self.case.entries(slots.person_age).map_or(0, <[_]>::len);
        let faces: Vec<Json> = (0..people)
            .map(|item| {
                let measured = self.case.number_of(slots.person_eye_height, item);
                let eyes = eye_height(measured, self.case.of(slots.person_age, item).and_then(range));
                json!({
                    "person": item + 1,
                    "eyes_cm": span(eyes),
                    "measured": measured.is_some(),
                    "level": self.workings.reach.as_ref().and_then(|reach| reach.face_is_level(eyes)),
                })
            })
            .collect();
        json!({
            "perch_cm": self.workings.reach.as_ref().and_then(|reach| reach.perch_height_cm),
            "faces": faces,
        })
    }

    pub(super) fn room(&self) -> Json {
        let room = &self.workings.room;
        let drawn = room.drawn();
        let ways = drawn.and_then(|(width_cm, depth_cm, cage)| {
            let walls = Rect {
                left_cm: 0.0,
                back_cm: 0.0,
                width_cm,
                depth_cm,
            };
            clear_ways(&cage, &walls).ok()
        });
        let spots: Vec<Json> = room
            .spots
            .iter()
            .flatten()
            .enumerate()
            .map(|(at, spot)| {
                json!({
                    "number": at + 1,
                    "kind": spot.kind,
                    "label": spot.label,
                    "distance_cm": spot.distance_cm,
                    "inside": spot.inside,
                    "counts": matches!(spot.usage, Some(Use::Stays | Use::Passes)),
                    // What stands on the floor leaves this much for people between itself and the safe line.
                    "way_left_cm": spot.distance_cm.zip(self.workings.reach.as_ref()).filter(|_| spot.usage == Some(Use::Thing) || spot.kind == "seat").map(|(distance, reach)| distance - reach.line_at_bars_cm.high),
                })
            })
            .collect();
        json!({
            "drawn": drawn.is_some(),
            "ways": ways.map(|ways| json!({"left_cm": ways.left_cm, "right_cm": ways.right_cm, "back_cm": ways.back_cm, "front_cm": ways.front_cm})),
            "told": room.spots.is_some(),
            "spots": spots,
            "seats_inside": room.inside(Use::Stays).map(|(least, most)| json!({"low": least, "high": most})),
            "paths_inside": room.inside(Use::Passes).map(|(least, most)| json!({"low": least, "high": most})),
            "body_cm": BODY_WIDTH_CM,
        })
    }
}
