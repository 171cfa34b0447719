//! What published lists say of a wound, of tetanus and of an illness after being near a bird.

use crate::figures::psittacosis::{LOOK_BACK_DAYS, tell_the_clinician};
use crate::figures::tetanus::{Doses, ask, wound_class};
use crate::figures::wounds::{Site, Wound};

use super::super::Value;
use super::super::case::Case;

/// The first injury at which the skin is broken.
const BROKEN: &str = "broken-skin";

/// A bite as the lists speak of it. Whether its person is at higher risk is left out.
#[must_use]
pub fn wound_of(case: &Case<'_>, bite: usize) -> Wound {
    let slots = &case.vocabulary.slots;
    let seen = case.chosen(slots.bite_wound, case.of(slots.bite_wound, bite));
    let has = |word: &str| seen.as_ref().map(|seen| seen.contains(&word));
    Wound {
        site: case.choice_of(slots.bite_body_part, bite).map(site),
        skin_broken: skin_broken(case, bite).map(|broken| broken || eye_touched(case, bite)),
        large_or_deep: has("large or deep"),
        bleeding_will_not_stop: has("bleeding"),
        object_left: has("something left in it"),
        hot_or_swollen: has("hot or swollen"),
        fever: has("fever"),
        leaking: has("fluid or smell"),
        bad_smell: has("fluid or smell"),
        puncture: has("puncture"),
        person_at_higher_risk: Some(false),
    }
}

/// Whether a beak touched an eye, or the skin round it: its surface counts as skin, and no mark may show.
fn eye_touched(case: &Case<'_>, bite: usize) -> bool {
    let slots = &case.vocabulary.slots;
    let touched =
        matches!(case.of(slots.bite_injury, bite), Some(Value::Level { low, .. }) if *low > 0);
    touched && case.choice_of(slots.bite_body_part, bite) == Some("eye")
}

/// The site a choice stands for; of two in one choice, the one the lists take more seriously.
fn site(choice: &str) -> Site {
    match choice {
        "eye" => Site::Eye,
        "face" => Site::Face,
        "ear or neck" => Site::Head,
        "finger" => Site::Finger,
        "hand or arm" => Site::Hand,
        "foot or leg" => Site::Foot,
        _ => Site::Elsewhere,
    }
}

fn skin_broken(case: &Case<'_>, bite: usize) -> Option<bool> {
    let injury = case.vocabulary.slots.bite_injury?;
    let broken = case
        .vocabulary
        .fact(injury)
        .choices
        .iter()
        .position(|choice| choice.id == BROKEN)?;
    match case.of(Some(injury), bite)? {
        Value::Level { low, .. } if usize::from(*low) >= broken => Some(true),
        Value::Level { high, .. } if usize::from(*high) < broken => Some(false),
        _ => None,
    }
}

/// Whether a person should ask a clinician about tetanus after a bite; `None` while a blank leaves it open.
#[must_use]
pub fn asks_about_tetanus(case: &Case<'_>, bite: usize, person: Option<usize>) -> Option<bool> {
    let broken = skin_broken(case, bite);
    let Some(wound) = wound_class(broken) else {
        return Some(false);
    };
    let (doses, years) = match case.choice_of(case.vocabulary.slots.person_tetanus, person?)? {
        "last under 5 years ago" => (Doses::ThreeOrMore, Some(0.0)),
        "last 5 to 10 years ago" => (Doses::ThreeOrMore, Some(5.0)),
        "last over 10 years ago" => (Doses::ThreeOrMore, None),
        _ => (Doses::FewerOrUnsure, None),
    };
    let asks = ask(doses, years, wound, Some(false)).ok()?.booster;
    // Skin that may be whole leaves a yes open, and a no stands.
    (!asks || broken == Some(true)).then_some(asks)
}

/// Whether a flu-like illness began so soon after being near a bird that a clinician should hear of the bird.
#[must_use]
pub fn illness_fits(case: &Case<'_>) -> Option<bool> {
    let slots = &case.vocabulary.slots;
    let near = case
        .number(slots.ill_after_days)
        .map(|days| days <= LOOK_BACK_DAYS);
    tell_the_clinician(case.yes(slots.ill_people), near)
}
