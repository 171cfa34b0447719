//! Who may sign: by the team of the practice, and by whether the case needs two.
//!
//! | may | first | second reader |
//! |---|---|---|
//! | `signs` | alone, or with anyone who may be second | to anyone |
//! | `co-signs` | with someone who signs | to someone who signs |
//! | `drafts` | with someone who signs | no |
//! | `observes` | no | no |
//!
//! So every signature has someone who signs. A practice that names no team lets anyone sign.

use crate::mistake::Mistake;
use crate::mistakes::record::{
    RecordTextBlank, SecondReaderIsFirst, SecondReaderMayNot, SecondReaderMissing,
    SignerMayNotSign, SignerNeedsSecond, SignerNotInTeam,
};
use crate::names::same_name;
use crate::wording::{May, Member, Team};
use crate::words::closest;

use super::add::Who;
use super::second_reader::Needed;

/// Every reason why these people may not sign this case.
#[must_use]
pub fn refusals(team: &Team, who: Who<'_>, needed: &[Needed]) -> Vec<Box<dyn Mistake>> {
    let mut found = unnamed(who);
    if !found.is_empty() {
        return found;
    }
    if let Some(second) = who.second
        && same_name(who.by, second)
    {
        let name = second.to_owned();
        found.push(Box::new(SecondReaderIsFirst { name }));
    }
    if who.second.is_none() && !needed.is_empty() {
        let reasons: Vec<String> = needed
            .iter()
            .map(|it| {
                let blank = if it.known { "" } else { " (until answered)" };
                format!("{}{blank}", it.title)
            })
            .collect();
        let reasons = reasons.join("; ");
        found.push(Box::new(SecondReaderMissing { reasons }));
    }
    let first = member(team, who.by, &mut found);
    let second = who.second.and_then(|name| member(team, name, &mut found));
    if let Some(first) = first {
        by_level(first, second, who.second.is_some(), &mut found);
    }
    if let Some(second) = second
        && second.may < May::CoSigns
    {
        found.push(Box::new(SecondReaderMayNot {
            name: second.name.clone(),
            may: second.may.word().to_owned(),
        }));
    }
    found
}

/// Names with nothing in them.
pub(super) fn unnamed(who: Who<'_>) -> Vec<Box<dyn Mistake>> {
    [("--by", Some(who.by)), ("--second", who.second)]
        .into_iter()
        .filter(|(_, name)| name.is_some_and(blank))
        .map(|(option, _)| -> Box<dyn Mistake> {
            let option = option.to_owned();
            Box::new(RecordTextBlank { option })
        })
        .collect()
}

/// True for a text without a letter or digit.
pub(super) fn blank(text: &str) -> bool {
    !text.chars().any(char::is_alphanumeric)
}

/// The person of a team, where there is a team.
pub(super) fn member<'t>(
    team: &'t Team,
    name: &str,
    found: &mut Vec<Box<dyn Mistake>>,
) -> Option<&'t Member> {
    let member = team.member(name);
    if member.is_none() && !team.members.is_empty() {
        let names: Vec<String> = team.members.iter().map(|it| it.name.clone()).collect();
        found.push(Box::new(SignerNotInTeam {
            name: name.to_owned(),
            close: closest(name, names.iter().map(String::as_str)),
            team: names,
        }));
    }
    member
}

fn by_level(
    first: &Member,
    second: Option<&Member>,
    named: bool,
    found: &mut Vec<Box<dyn Mistake>>,
) {
    let name = first.name.clone();
    match first.may {
        May::Signs => {}
        May::Observes => found.push(Box::new(SignerMayNotSign { name })),
        May::CoSigns | May::Drafts => {
            // A second who is not in the team, or may not be second, is told as that.
            let enough = match second {
                Some(second) => second.may != May::CoSigns,
                None => named,
            };
            if !enough {
                let may = first.may.word().to_owned();
                found.push(Box::new(SignerNeedsSecond { name, may }));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn team() -> Team {
        let member = |(name, may): (&str, May)| Member {
            name: name.to_owned(),
            may,
        };
        Team {
            members: [
                ("R. Vale", May::Signs),
                ("T. Moss", May::Signs),
                ("I. Fern", May::CoSigns),
                ("J. Reed", May::Drafts),
                ("K. Loam", May::Observes),
            ]
            .map(member)
            .to_vec(),
            second_reader: vec!["severe".to_owned()],
        }
    }

    fn names(team: &Team, by: &str, second: Option<&str>, needed: &[Needed]) -> Vec<&'static str> {
        refusals(team, Who { by, second }, needed)
            .iter()
            .map(|it| it.name())
            .collect()
    }

    fn severe() -> Needed {
        Needed {
            id: "severe".to_owned(),
            title: "Lasting harm is credible".to_owned(),
            known: true,
        }
    }

    #[test]
    fn each_level_signs_as_the_table_says() {
        let people = ["R. Vale", "I. Fern", "J. Reed", "K. Loam"];
        let may = |by: &str, second: Option<&str>| names(&team(), by, second, &[]).is_empty();
        let alone: Vec<bool> = people.iter().map(|by| may(by, None)).collect();
        assert_eq!(alone, [true, false, false, false]);
        let with_signer: Vec<bool> = people.iter().map(|by| may(by, Some("T. Moss"))).collect();
        assert_eq!(with_signer, [true, true, true, false]);
        let with_co_signer: Vec<bool> = ["R. Vale", "J. Reed", "K. Loam"]
            .iter()
            .map(|by| may(by, Some("I. Fern")))
            .collect();
        assert_eq!(with_co_signer, [true, false, false]);
        for second in ["J. Reed", "K. Loam"] {
            assert_eq!(
                names(&team(), "R. Vale", Some(second), &[]),
                ["second-reader-may-not"]
            );
        }
    }

    #[test]
    fn all_reasons_are_told_at_once() {
        assert_eq!(
            names(&team(), "J. Reed", None, &[severe()]),
            ["second-reader-missing", "signer-needs-second"]
        );
        assert_eq!(
            names(&team(), "N. Body", Some("n body"), &[severe()]),
            [
                "second-reader-is-first",
                "signer-not-in-team",
                "signer-not-in-team"
            ]
        );
        assert_eq!(
            names(&team(), " ", Some("."), &[severe()]),
            ["record-text-blank", "record-text-blank"]
        );
    }

    #[test]
    fn a_practice_without_a_team_lets_anyone_sign_but_nobody_twice() {
        let team = Team::default();
        assert!(names(&team, "Anyone", None, &[]).is_empty());
        assert!(names(&team, "Anyone", Some("Someone"), &[severe()]).is_empty());
        assert_eq!(
            names(&team, "Zoë Vale", Some("zoe  VALE"), &[]),
            ["second-reader-is-first"]
        );
    }
}
