//! Where the questions stand that the program itself reads: found by name once, when the rulebook is loaded.

use crate::language::condition::FactRef;

use super::Vocabulary;

macro_rules! slots {
    ($($name:ident = $path:literal),* $(,)?) => {
        /// The place of each question or fact the program reads; `None` where a rulebook does without it.
        #[derive(Debug, Clone, Copy, Default)]
        pub struct Slots {
            $(#[doc = concat!("`", $path, "`")] pub $name: Option<FactRef>,)*
        }

        impl Slots {
            /// Finds them all.
            #[must_use]
            pub fn of(vocabulary: &Vocabulary) -> Self {
                Self { $($name: vocabulary.find($path),)* }
            }
        }
    };
}

slots! {
    bird_species = "bird.species",
    bird_size = "bird.size",
    bird_weight = "bird.weight",
    bird_age = "bird.age",
    bird_length = "bird.length",
    bird_wingspan = "bird.wingspan",
    bird_flight = "bird.flight",
    case_region = "case.region",
    cage_length = "housing.cage-length",
    cage_width = "housing.cage-width",
    cage_height = "housing.cage-height",
    cage_outdoors = "housing.outdoors",
    cage_birds = "housing.birds-in-cage",
    cage_wings_open = "housing.wings-open",
    cage_stands_at = "housing.cage-stands-at",
    bar_spacing = "housing.bar-spacing",
    perch_height = "housing.perch-height",
    path_width = "housing.path-width",
    reach_at_bars = "housing.reach-at-bars",
    reach_from_perch = "housing.reach-from-perch",
    room_width = "room.width",
    room_depth = "room.depth",
    room_cage_left = "room.cage-left",
    room_cage_back = "room.cage-back",
    room_cage_turned = "room.cage-turned",
    spot_kind = "spots.kind",
    spot_label = "spots.label",
    spot_left = "spots.left",
    spot_back = "spots.back",
    spot_to_left = "spots.to-left",
    spot_to_back = "spots.to-back",
    weighing_date = "weights.date",
    weighing_weight = "weights.weight",
    record_last_30 = "record.last-30-days",
    record_last_90 = "record.last-90-days",
    record_kept = "record.kept",
    treats_a_day = "diet.treats-a-day",
    reward_foods = "rewards.foods",
    reward_pieces = "rewards.pieces",
    ill_people = "health.ill-people",
    ill_after_days = "health.ill-after-days",
    person_name = "people.name",
    person_age = "people.age",
    person_role = "people.role",
    person_vulnerable = "people.vulnerable",
    person_eye_height = "people.eye-height",
    person_tetanus = "people.tetanus",
    person_minutes = "people.minutes-a-day",
    person_days = "people.days-a-week",
    bite_date = "bites.date",
    bite_person = "bites.person",
    bite_injury = "bites.injury",
    bite_body_part = "bites.body-part",
    bite_wound = "bites.wound",
    bite_warning = "bites.warning",
    distance_person = "distances.person",
    distance_calm = "distances.calm-eating",
    distance_favoured = "distances.favoured-near",
    distance_bird_place = "distances.bird-place",
    distance_first_sign = "distances.first-sign",
    distance_strike = "distances.strike-at",
    distance_how = "distances.measured-by",
    skill_marker = "skills.marker",
    skill_station = "skills.station",
    skill_return = "skills.hands-free-return",
    takes_calmly = "rewards.takes-calmly",
    days_since_bite = "tally.days-since-bite",
    case_reference = "case.reference",
    case_received = "case.received",
    case_contact = "case.contact",
}
