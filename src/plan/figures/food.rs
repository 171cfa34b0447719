//! What is told of energy, rewards and weight.

use serde_json::{Value as Json, json};

use crate::facts::workings::WeightFigures;
use crate::figures::energy::{Order, basal_kcal_a_day};
use crate::figures::food::{piece_kcal, repetitions_paid_for, session_pieces};
use crate::figures::span::Span;
use crate::figures::weight::{Alarm, Slip, alarm};

use super::{Sheet, span};

impl Sheet<'_> {
    pub(super) fn energy(&self) -> Json {
        let food = &self.workings.food;
        let basal = food.body_g.and_then(|body| {
            Some(Span::between(
                basal_kcal_a_day(body.low, Order::NonPasserine).ok()?,
                basal_kcal_a_day(body.high, Order::NonPasserine).ok()?,
            ))
        });
        json!({
            "body_g": span(food.body_g),
            "own_weight": food.own_weight,
            "basal_kcal": span(basal),
            "maintenance_kcal": span(food.maintenance_kcal),
        })
    }

    pub(super) fn rewards(&self) -> Json {
        let food = &self.workings.food;
        let pieces = food.pieces();
        let foods: Vec<Json> = pieces
            .iter()
            .map(|(food, least, most)| {
                json!({
                    "food": food.key.replace('-', " "),
                    "kcal_per_100_g": food.kcal_per_100_g,
                    "piece_g": food.piece_g,
                    "piece_kcal": piece_kcal(food),
                    "least": least,
                    "most": most,
                })
            })
            .collect();
        let most = food.most_pieces();
        let until_bored = food
            .pieces_to_loss_of_interest
            .map(|pieces| pieces.round().max(0.0) as u32);
        json!({
            "budget_kcal": span(food.budget_kcal),
            "foods": foods,
            "no_piece": food.foods.iter().filter(|food| food.piece_g.is_none()).map(|food| food.key.replace('-', " ")).collect::<Vec<_>>(),
            "no_food_told": food.no_food_told,
            "other_food": food.other_food,
            "treats_a_day": food.treats_a_day,
            "share": span(food.treat_share()),
            "piece_too_large": food.piece_too_large(),
            "repetitions": most.and_then(|pieces| repetitions_paid_for(pieces, 1)).map(|(least, most)| json!({"low": least, "high": most})),
            "in_a_session": most.map(|(least, _)| session_pieces(least, 2, until_bored)),
            "losing_weight": matches!(&self.workings.weight, WeightFigures::Compared { change, .. } if alarm(change.fall_percent) >= Alarm::Concern),
        })
    }

    pub(super) fn weight(&self) -> Json {
        let WeightFigures::Compared { series, change } = &self.workings.weight else {
            return json!({ "state": if self.workings.weight == WeightFigures::TooFew { "too-few" } else { "not-known" } });
        };
        json!({
            "state": "compared",
            "weighings": series.len(),
            "from_g": change.from_g,
            "to_g": change.to_g,
            "fall_percent": change.fall_percent,
            "days": change.days,
            "odd_g": change.odd.iter().filter_map(|at| series.get(*at)).map(|(_, grams)| grams).collect::<Vec<_>>(),
            "newest_is_odd": change.newest_is_odd,
            "slip": change.slip.map(|slip| match slip {
                Slip::TenTimes => "ten-times",
                Slip::Thousand => "thousand",
                Slip::OunceForGram => "ounce-for-gram",
                Slip::PoundForGram => "pound-for-gram",
            }),
            "alarm": match alarm(change.fall_percent) {
                Alarm::None => "none",
                Alarm::Watch => "watch",
                Alarm::Concern => "concern",
                Alarm::Urgent => "urgent",
            },
        })
    }
}
