//! The form as plain typed structures, for the figure everything else is held against: what the YAML crate alone takes to parse
//! the same bytes. Every question is a field; a question that is missing here stops the benchmark.
#![allow(missing_docs, dead_code, unreachable_pub)]

use serde::Deserialize;

/// One answer as it is written.
pub type Answer = Option<String>;
/// Several words: a list, or one line with commas.
#[derive(Debug, Default)]
pub struct Words(pub Vec<String>);

impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(ReadWords)
    }
}

struct ReadWords;

impl<'de> serde::de::Visitor<'de> for ReadWords {
    type Value = Words;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("words")
    }

    fn visit_str<E>(self, text: &str) -> Result<Words, E> {
        Ok(Words(vec![text.to_owned()]))
    }

    fn visit_unit<E>(self) -> Result<Words, E> {
        Ok(Words::default())
    }

    fn visit_seq<A: serde::de::SeqAccess<'de>>(self, mut access: A) -> Result<Words, A::Error> {
        let mut words = Vec::new();
        while let Some(word) = access.next_element()? {
            words.push(word);
        }
        Ok(Words(words))
    }
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Case {
    pub hurt_now: Words,
    pub received: Answer,
    pub told_by: Words,
    pub region: Answer,
    pub setting: Answer,
    pub contact_by: Answer,
    pub access_needs: Words,
    pub deadline: Answer,
    pub deadline_date: Answer,
    pub reference: Answer,
    pub contact: Answer,
    pub language: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Bird {
    pub name: Answer,
    pub species: Answer,
    pub size: Answer,
    pub flight: Answer,
    pub weight: Answer,
    pub length: Answer,
    pub wingspan: Answer,
    pub age: Answer,
    pub sex: Answer,
    pub origin: Answer,
    pub homes: Answer,
    pub home_since: Answer,
    pub limits: Words,
    pub papers: Answer,
    pub ring: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Bites {
    pub date: Answer,
    pub person: Answer,
    pub injury: Answer,
    pub body_part: Answer,
    pub pursuit: Answer,
    pub time: Answer,
    pub place: Answer,
    pub barrier: Answer,
    pub trigger: Answer,
    pub favoured_near: Answer,
    pub warning: Words,
    pub lead_time: Answer,
    pub form: Answer,
    pub care: Answer,
    pub wound: Words,
    pub after: Words,
    pub calm_after: Answer,
    pub evidence: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Record {
    pub last_30_days: Answer,
    pub last_90_days: Answer,
    pub kept: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct People {
    pub name: Answer,
    pub age: Answer,
    pub presence: Answer,
    pub role: Answer,
    pub vulnerable: Words,
    pub eye_height: Answer,
    pub tetanus: Answer,
    pub can_keep_away: Answer,
    pub afraid: Answer,
    pub duties: Words,
    pub minutes_a_day: Answer,
    pub days_a_week: Answer,
    pub willing: Answer,
    pub confidence: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Health {
    pub red_flags: Words,
    pub onset: Answer,
    pub exam_for_this: Answer,
    pub feather_damage: Answer,
    pub new_bird: Answer,
    pub bird_died: Answer,
    pub ill_people: Answer,
    pub ill_after_days: Answer,
    pub onset_date: Answer,
    pub last_exam: Answer,
    pub bird_vet: Answer,
    pub clearance: Answer,
    pub pain_history: Answer,
    pub medicines: Answer,
    pub breeding_signs: Words,
    pub feather_damage_seen: Answer,
    pub exposures: Words,
    pub share_with_vet: Answer,
    pub vet_name: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Housing {
    pub contained_now: Answer,
    pub contained_hands_free: Answer,
    pub cage_length: Answer,
    pub cage_width: Answer,
    pub cage_height: Answer,
    pub cage_shape: Answer,
    pub outdoors: Answer,
    pub birds_in_cage: Answer,
    pub wings_open: Answer,
    pub cage_stands_at: Answer,
    pub bar_spacing: Answer,
    pub fingers_fit: Answer,
    pub head_fits: Answer,
    pub bars_sound: Answer,
    pub latch: Answer,
    pub feeding_hatch: Answer,
    pub retreat: Answer,
    pub cage_place: Answer,
    pub cage_room: Answer,
    pub perch_height: Answer,
    pub reach_at_bars: Answer,
    pub reach_from_perch: Answer,
    pub path_width: Answer,
    pub second_room: Answer,
    pub out_hours: Answer,
    pub out_with: Answer,
    pub shoulder: Answer,
    pub room_hazards: Words,
    pub visitors: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Animals {
    pub kind: Answer,
    pub arrived: Answer,
    pub seems_ill: Answer,
    pub contact: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct DailyLife {
    pub dark_hours: Answer,
    pub sleep_disturbed: Answer,
    pub nest_places: Words,
    pub touched_on_back: Answer,
    pub foraging: Answer,
    pub chewing: Answer,
    pub bathing: Answer,
    pub alone_hours: Answer,
    pub recent_change: Words,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Diet {
    pub staple: Answer,
    pub food_withheld: Answer,
    pub nut_allergy: Answer,
    pub dangerous_foods: Words,
    pub treats_a_day: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Weights {
    pub date: Answer,
    pub weight: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Skills {
    pub marker: Answer,
    pub station: Answer,
    pub target: Answer,
    pub recall: Answer,
    pub step_up: Answer,
    pub step_down: Answer,
    pub hands_free_return: Answer,
    #[serde(rename = "crate")]
    pub crate_: Answer,
    pub scale: Answer,
    pub trade: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Rewards {
    pub tested: Answer,
    pub best_foods: Answer,
    pub foods: Words,
    pub other_rewards: Words,
    pub delivery: Answer,
    pub takes_calmly: Answer,
    pub pieces: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Tried {
    pub method: Answer,
    pub still_used: Answer,
    pub result: Answer,
    pub who: Answer,
    pub note: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Goals {
    pub wish: Answer,
    pub good_enough: Answer,
    pub contact_wanted: Answer,
    pub requests: Words,
    pub agreement: Answer,
    pub rehoming: Answer,
    pub limits: Answer,
    pub other_advice: Answer,
    pub successor: Answer,
    pub owner_frail: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Consent {
    pub agreement_signed: Answer,
    pub data_notice: Answer,
    pub filming: Answer,
    pub visit_safety: Answer,
    pub lone_visit: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Distances {
    pub person: Answer,
    pub favoured_near: Answer,
    pub bird_place: Answer,
    pub first_sign: Answer,
    pub strike_at: Answer,
    pub calm_eating: Answer,
    pub measured_by: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Room {
    pub width: Answer,
    pub depth: Answer,
    pub cage_left: Answer,
    pub cage_back: Answer,
    pub cage_turned: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Spots {
    pub kind: Answer,
    pub label: Answer,
    pub left: Answer,
    pub back: Answer,
    pub to_left: Answer,
    pub to_back: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Progress {
    pub barrier_sessions: Answer,
    pub barrier_days: Answer,
    pub barrier_red: Answer,
    pub station_sessions: Answer,
    pub station_days: Answer,
    pub station_red: Answer,
    pub signed_off: Answer,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Notes {
    pub first_page: Answer,
    pub known: Answer,
    pub reading: Answer,
    pub safe_from_today: Answer,
    pub practice: Answer,
    pub goes_wrong: Answer,
    pub sitter: Answer,
    pub vet: Answer,
    pub colleagues: Answer,
}

/// The whole form.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Form {
    pub case: Option<Case>,
    pub bird: Option<Bird>,
    pub bites: Option<Vec<Bites>>,
    pub record: Option<Record>,
    pub people: Option<Vec<People>>,
    pub health: Option<Health>,
    pub housing: Option<Housing>,
    pub animals: Option<Vec<Animals>>,
    pub daily_life: Option<DailyLife>,
    pub diet: Option<Diet>,
    pub weights: Option<Vec<Weights>>,
    pub skills: Option<Skills>,
    pub rewards: Option<Rewards>,
    pub tried: Option<Vec<Tried>>,
    pub goals: Option<Goals>,
    pub consent: Option<Consent>,
    pub distances: Option<Vec<Distances>>,
    pub room: Option<Room>,
    pub spots: Option<Vec<Spots>>,
    pub progress: Option<Progress>,
    pub notes: Option<Notes>,
}
