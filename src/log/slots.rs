//! Where the questions of the log stand that the program reads.

use crate::questionnaire::Questionnaire;

/// Group and question, by place.
pub type Slot = (usize, usize);

macro_rules! slots {
    ($($name:ident = $path:literal $kind:literal),* $(,)?) => {
        /// The place of each question the program reads; `None` where a rulebook does without it.
        #[derive(Debug, Clone, Copy, Default)]
        pub struct Slots {
            $(#[doc = concat!("`", $path, "`")] pub $name: Option<Slot>,)*
        }

        impl Slots {
            /// Finds them all.
            #[must_use]
            pub fn of(questionnaire: &Questionnaire) -> Self {
                Self { $($name: questionnaire.find($path),)* }
            }
        }

        /// Every question the program reads with its type: a rulebook holds them all.
        pub const NEEDED: &[(&str, &str)] = &[$(($path, $kind)),*];
    };
}

slots! {
    case = "log.case" "text",
    sessions_counted = "log.sessions-counted" "number",
    days_counted = "log.days-counted" "number",
    reds_counted = "log.reds-counted" "number",
    session_date = "sessions.date" "date",
    session_time = "sessions.time" "choice",
    session_person = "sessions.person" "text",
    session_favoured = "sessions.favoured-there" "yes-no",
    session_stage = "sessions.stage" "choice",
    session_sheet = "sessions.sheet" "text",
    session_minutes = "sessions.minutes" "number",
    session_start = "sessions.start-step" "number",
    session_top = "sessions.top-step" "number",
    session_best = "sessions.best-calm-step" "number",
    session_tries = "sessions.tries" "number",
    session_calm = "sessions.calm" "number",
    session_ambers = "sessions.ambers" "number",
    session_threats = "sessions.threats" "number",
    session_red = "sessions.red" "choices",
    session_seconds = "sessions.seconds-to-take" "number",
    session_pieces = "sessions.pieces" "number",
    session_ended = "sessions.ended" "choice",
    session_written = "sessions.as-written" "yes-no",
    session_sleep = "sessions.sleep" "choice",
    session_health = "sessions.health" "choice",
    session_rating = "sessions.rating" "number",
    day_date = "days.date" "date",
    day_incidents = "days.incidents" "number",
    day_threats = "days.threats" "number",
    day_injury = "days.injury" "level",
    day_person = "days.person" "text",
    day_body_part = "days.body-part" "choice",
    day_slips = "days.slips" "number",
    day_weight = "days.weight" "number",
    day_sleep = "days.sleep" "choice",
    day_health = "days.health" "choice",
    day_new = "days.new" "choices",
    change_date = "changes.date" "date",
    change_what = "changes.what" "choice",
    change_person = "changes.person" "text",
    change_step = "changes.step" "number",
    change_by = "changes.by" "text",
    change_note = "changes.note" "text",
}
