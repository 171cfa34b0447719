//! The fingerprint of what was decided: the ordered outcomes, measures and referrals, and with a log where each list goes on.
//!
//! Days that only move with the calendar, such as the next contact, are no part of it: a plan that is printed a day later is
//! the same plan.

use serde_json::{Value, json};

use crate::decision::Decision;
use crate::fingerprint;
use crate::review::Review;

/// SHA-256 over them, in a fixed order.
pub(super) fn fingerprint(decision: &Decision, review: Option<&Review>) -> String {
    let landings: Vec<Value> = decision
        .landings
        .iter()
        .map(|it| {
            json!([
                it.measure,
                it.person,
                it.known,
                it.ruled_out_by,
                it.covered_by,
                it.waits_for
            ])
        })
        .collect();
    let referrals: Vec<Value> = decision
        .referrals
        .iter()
        .map(|it| json!([it.referral, it.known]))
        .collect();
    let lists: Option<Vec<Value>> = review.map(|review| {
        review
            .lists
            .iter()
            .map(|it| {
                let next = &it.next;
                let work = next.work.word();
                json!([
                    it.mark,
                    work,
                    next.begin,
                    next.cap,
                    next.new_list,
                    next.shorter
                ])
            })
            .collect()
    });
    let all = json!({
        "verdict": decision.verdict,
        "landings": landings,
        "referrals": referrals,
        "lists": lists,
    });
    fingerprint::of(all.to_string().as_bytes())
}
