//! Energy, and what a share of it pays for in rewards.

use crate::figures::energy::maintenance_range_kcal_a_day;
use crate::figures::food::{
    FOODS, Food, food, needs_cutting, pieces_a_day, reward_budget_kcal, treat_share_percent,
};
use crate::figures::span::Span;

use super::super::case::Case;
use super::Kind;

/// What is known of energy and rewards.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoodFigures {
    /// The weight it is reckoned with, g.
    pub body_g: Option<Span>,
    /// True when that is the bird's own.
    pub own_weight: bool,
    /// Energy the bird needs in a day, kcal.
    pub maintenance_kcal: Option<Span>,
    /// The share for rewards, kcal.
    pub budget_kcal: Option<Span>,
    /// Foods told, those with figures.
    pub foods: Vec<&'static Food>,
    /// True when a food without figures was told as well.
    pub other_food: bool,
    /// True when no food was told.
    pub no_food_told: bool,
    /// Treats a day as told.
    pub treats_a_day: Option<f64>,
    /// Pieces until the bird loses interest, as told.
    pub pieces_to_loss_of_interest: Option<f64>,
}

impl FoodFigures {
    /// Works it out.
    #[must_use]
    pub fn of(case: &Case<'_>, kind: &Kind) -> Self {
        let slots = &case.vocabulary.slots;
        let told = case.chosen(slots.reward_foods, case.once(slots.reward_foods));
        let body_g = kind.body_g();
        let maintenance_kcal = body_g.and_then(|body| maintenance_range_kcal_a_day(body).ok());
        Self {
            body_g,
            own_weight: kind.told_g.is_some(),
            maintenance_kcal,
            budget_kcal: maintenance_kcal.map(reward_budget_kcal),
            foods: told
                .iter()
                .flatten()
                .filter_map(|choice| chosen_food(choice))
                .collect(),
            other_food: told
                .iter()
                .flatten()
                .any(|choice| chosen_food(choice).is_none()),
            no_food_told: told.is_none(),
            treats_a_day: case.number(slots.treats_a_day),
            pieces_to_loss_of_interest: case.number(slots.reward_pieces),
        }
    }

    /// Foods to count in: those told that have a piece, or shelled sunflower seeds when none was told.
    #[must_use]
    pub fn counted(&self) -> Vec<&'static Food> {
        if self.no_food_told {
            return food("sunflower-kernel").into_iter().collect();
        }
        self.foods
            .iter()
            .copied()
            .filter(|food| food.piece_g.is_some())
            .collect()
    }

    /// Whole pieces a day of each food counted in.
    #[must_use]
    pub fn pieces(&self) -> Vec<(&'static Food, u32, u32)> {
        let Some(maintenance) = self.maintenance_kcal else {
            return Vec::new();
        };
        self.counted()
            .into_iter()
            .filter_map(|food| {
                let (least, most) = pieces_a_day(maintenance, food)?;
                Some((food, least, most))
            })
            .collect()
    }

    /// Whole pieces a day of the smallest food counted in.
    #[must_use]
    pub fn most_pieces(&self) -> Option<(u32, u32)> {
        self.pieces()
            .into_iter()
            .map(|(_, least, most)| (least, most))
            .max()
    }

    /// What the treats a day are of the energy a day, in per cent: from all of the smallest to all of the largest food told.
    #[must_use]
    pub fn treat_share(&self) -> Option<Span> {
        if self.no_food_told || self.other_food {
            return None;
        }
        let (treats, maintenance) = (self.treats_a_day?, self.maintenance_kcal?);
        self.foods
            .iter()
            .map(|food| treat_share_percent(treats, food, maintenance))
            // A food that comes in no pieces leaves the share open.
            .collect::<Option<Vec<Span>>>()?
            .into_iter()
            .reduce(Span::join)
    }

    /// Whether a whole piece of one of the foods told is more than a day's share.
    #[must_use]
    pub fn piece_too_large(&self) -> Option<bool> {
        if self.no_food_told {
            return None;
        }
        let budget = self.budget_kcal?;
        let mut open = false;
        for food in self.foods.iter().filter(|food| food.piece_g.is_some()) {
            match (
                needs_cutting(budget.high, food),
                needs_cutting(budget.low, food),
            ) {
                (Some(true), _) => return Some(true),
                (_, Some(false)) => {}
                _ => open = true,
            }
        }
        (!open).then_some(false)
    }
}

/// The food a choice of the questionnaire stands for: by its key, or by the key's first word.
fn chosen_food(choice: &str) -> Option<&'static Food> {
    let key = choice.replace(' ', "-");
    food(&key).or_else(|| {
        FOODS.iter().find(|food| {
            food.key
                .strip_prefix(key.as_str())
                .is_some_and(|rest| rest.starts_with('-'))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::chosen_food;
    use crate::library::Library;
    use crate::questionnaire::load;

    #[test]
    fn every_food_of_the_questionnaire_has_its_figures() {
        let questionnaire = load(&Library::embedded(), "questions", &mut Vec::new());
        let (group, question) = questionnaire.find("rewards.foods").unwrap();
        let choices = &questionnaire.groups[group].questions[question].choices;
        let mut keys: Vec<&str> = choices
            .iter()
            .filter(|choice| choice.id != "other")
            .map(|choice| chosen_food(&choice.id).expect(&choice.id).key)
            .collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), choices.len() - 1);
        assert!(chosen_food("other").is_none());
    }
}
