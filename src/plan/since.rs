//! What the log changed since the plan on the form alone.

use crate::decision::Decision;
use crate::log::Log;
use crate::review::Review;
use crate::rulebook::Rulebook;

use super::actions;

/// A log with its review.
#[derive(Debug, Clone, Copy)]
pub struct Logged<'a> {
    /// The review.
    pub review: &'a Review,
    /// The log.
    pub log: &'a Log,
}

impl Logged<'_> {
    /// What the log changed, in sentences.
    pub(super) fn since_last(&self, rulebook: &Rulebook) -> Vec<String> {
        let say = |key: &str, numbers: &[(&str, String)]| {
            rulebook.sayings.say("since-last", key, numbers)
        };
        let to = self
            .log
            .span()
            .map_or_else(String::new, |(_, last)| last.to_string());
        if self.log.is_empty() {
            return Vec::new();
        }
        let mut said = vec![say(
            "entries",
            &[
                ("sessions", self.log.sessions.len().to_string()),
                ("days", self.log.days.len().to_string()),
                ("to", to),
            ],
        )];
        let touches: u32 = self.log.days.iter().map(|day| day.incidents).sum();
        if touches > 0 {
            said.push(say("touches", &[("touches", touches.to_string())]));
        }
        if self.review.is_frozen() {
            said.push(say("frozen", &[]));
        }
        let (old, new) = (
            self.review.without_log.verdict,
            self.review.decision.verdict,
        );
        let tighter = new.risk.until_answered > old.risk.until_answered
            || new.start.until_answered > old.start.until_answered
            || new.contact.until_answered > old.contact.until_answered
            || new.vet.until_answered > old.vet.until_answered;
        let looser = new.start.until_answered < old.start.until_answered;
        if tighter {
            said.push(say("tighter", &[]));
        }
        if looser {
            said.push(say("looser", &[]));
        }
        if !tighter && !looser {
            said.push(say("same", &[]));
        }
        // What stands on the first page now and would not without the log.
        let frozen = self.review.is_frozen();
        let with_log = &self.review.decision;
        let held = |decision: &Decision| {
            decision.verdict.is_held() || (frozen && std::ptr::eq(decision, with_log))
        };
        let first_page =
            |decision: &Decision| actions::choose(rulebook, decision, held(decision)).actions;
        let before = first_page(&self.review.without_log);
        let new: Vec<String> = first_page(&self.review.decision)
            .into_iter()
            .filter(|action| before.iter().all(|other| other.id != action.id))
            .map(|action| action.title)
            .collect();
        if !new.is_empty() {
            said.push(say("new-actions", &[("titles", new.join("; "))]));
        }
        said
    }
}
