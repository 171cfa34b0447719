//! Mistakes of rules, measures and what holds them together.

use super::{meant, mistakes};
use crate::words::either;

mistakes! {
    /// A check that no rule asks for.
    Warning "check-unused" CheckUnused { id: String } "no rule of the next step asks for the check `{id}`" => "name it in a rule, or take it out";
    /// A condition on something no question asks and nothing derives.
    Error "unknown-fact" UnknownFact { name: String, close: Option<String> } "`{name}` is not a fact that rules can use here" => meant(close, "facts asked once are written `group.question`; inside `any person:` and the like use the question alone");
    /// A quantifier over nothing that repeats.
    Error "unknown-quantifier" UnknownQuantifier { text: String, nouns: Vec<String> } "`{text}` does not say how many of what" => format!("write `any`, `no`, `every` or `at least 2`, and then {}", either(nouns));
    /// A phrase its fact's type does not have.
    Error "phrase-does-not-fit" PhraseDoesNotFit { fact: String, phrase: String, fitting: Vec<String> } "`{phrase}` says nothing about `{fact}`" => format!("phrases that fit are {}", either(fitting));
    /// A choice the fact does not have.
    Error "phrase-choice-unknown" PhraseChoiceUnknown { fact: String, choice: String, close: Option<String>, choices: Vec<String> } "`{choice}` is not a choice of `{fact}`" => meant(close, format!("its choices are {}", either(choices)));
    /// `answered` or `blank` where an outcome would loosen when a blank is filled in.
    Error "blank-test-in-guard" BlankTestInGuard { fact: String } "a gate, or a rule with risk, start, contact or vet, may not ask whether `{fact}` was answered" => "test its value: a blank already counts on the safer side; or move the advice to a rule of its own";
    /// `contact` from facts that no first enquiry asks.
    Error "contact-beyond-enquiry" ContactBeyondEnquiry { fact: String } "`contact` rests on `{fact}`, which is not asked at first contact" => "use enquiry-tier facts only, or leave `contact` out";
    /// A condition no intake can meet.
    Error "never-holds" NeverHolds { fact: String } "this can never hold: nothing is left that `{fact}` could be" => "look for two phrases about the same fact that shut each other out, or a number outside its range";
    /// A start mode no intake can open.
    Error "gate-never-opens" GateNeverOpens { mode: String, fact: String } "`{mode}` can never be opened: nothing is left that `{fact}` could be" => "look at this gate and the others of this mode and the tighter ones; one need asks for what another rules out";
    /// A condition with nothing in it.
    Error "empty-condition" EmptyCondition {} "this condition is empty" => "name at least one fact and its phrase; to ask only whether there is one, use a tally such as `tally.bites: at least 1`";
    /// A measure nobody wrote.
    Error "unknown-measure" UnknownMeasure { id: String, close: Option<String> } "there is no measure `{id}`" => meant(close, "add it under `measures/`");
    /// A source nobody entered.
    Error "unknown-source" UnknownSource { key: String, close: Option<String> } "there is no source `{key}`" => meant(close, "enter it in `sources.yaml`; common practice is `practice`");
    /// A referral nobody wrote.
    Error "unknown-referral" UnknownReferral { id: String, close: Option<String> } "there is no referral `{id}`" => meant(close, "enter it in `referrals.yaml`");
    /// `ask` names no question.
    Error "unknown-question" UnknownQuestion { id: String, close: Option<String> } "there is no question `{id}` to ask" => meant(close, "write it as `group.question`");
    /// A measure about one person in a rule about the whole home.
    Error "person-measure-misplaced" PersonMeasureMisplaced { id: String } "`{id}` is for one person, and this rule does not say which" => "use it in a rule with `for each: person`, or make the measure `for: household`";
    /// A do-measure under never, or a never-measure under do.
    Error "measure-misused" MeasureMisused { id: String, is: String, under: String } "`{id}` is a thing one {is}, and stands under `{under}`" => "move it, or choose the measure that says the opposite";
    /// One rule that both does and forbids.
    Error "rule-contradicts-itself" RuleContradictsItself { measure: String, never: String } "this rule asks for `{measure}`, and its `{never}` rules that out" => "keep one of them";
    /// Two rules that can speak together and disagree; `never` wins.
    Warning "do-meets-never" DoMeetsNever { measure: String, never: String, rule: String, other: String } "`{measure}` (asked for by {rule}) is ruled out by `{never}` (from {other})" => "never wins where both speak; make sure that is what you want";
    /// A measure no rule asks for.
    Warning "measure-unused" MeasureUnused { id: String } "no rule asks for the measure `{id}`" => "use it in a rule or remove it";
    /// A source nothing cites.
    Warning "source-unused" SourceUnused { key: String } "nothing cites the source `{key}`" => "cite it or remove it";
    /// Words the tool refuses to print.
    Error "refused-words" RefusedWords { words: String, because: String } "`{words}` may not stand here: {because}" => "say what to do instead, in plain and kind words";
    /// A rule that does nothing.
    Error "rule-without-outcome" RuleWithoutOutcome {} "this rule changes nothing" => "give it at least one of risk, start, contact, vet, do, never, refer, ask";
    /// An example is missing.
    Error "example-missing" ExampleMissing { kind: String } "no example shows it when it {kind}" => "add one under `examples`: each rule and gate shows `fires`, `quiet` and `blank`";
    /// An example does what it should not.
    Error "example-fails" ExampleFails { wanted: String, found: String } "this example should be `{wanted}` and is `{found}`" => "correct the rule or the example; mind that an answer not given is blank";
    /// A start mode in the way of the looser ones has no gate.
    Error "mode-without-gate" ModeWithoutGate { mode: String } "nothing opens `{mode}`: no gate proves it" => "write a gate with `opens:` for it; without one the mode stands open to everyone";
}
