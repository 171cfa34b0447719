//! Mistakes of the words: translations, a practice's own sentences, its settings.

use super::{meant, mistakes};

mistakes! {
    /// A folder or file of a practice that nothing reads.
    Error "stray-in-practice" StrayInPractice { name: String, close: Option<String>, advice: String } "no part of a practice's folder reads `{name}`" => meant(close, advice.clone());
    /// Sentences that a language does not have yet.
    Warning "translation-missing" TranslationMissing { language: String, count: usize, keys: String } "{count} sentences are not in {language} yet: {keys}" => "add them below `languages/`; until then they are printed in English, and marked";
    /// A sentence of a language that belongs to nothing.
    Error "translation-of-nothing" TranslationOfNothing { key: String, close: Option<String> } "`{key}` is the sentence of nothing here" => meant(close, "take it out, or name the measure, rule or question it belongs to");
    /// A sentence whose English has changed since.
    Warning "translation-stale" TranslationStale { language: String, count: usize, keys: String } "{count} entries were put into {language} from an older English text; today's marks are {keys}" => "compare them with the English, then set their marks in `made-from.yaml`";
    /// A number that a translation lost.
    Error "translation-loses-number" TranslationLosesNumber { key: String, number: String } "the English of `{key}` says {number}, and this does not" => "write the number";
    /// Words a language may not print.
    Error "translation-refused-words" TranslationRefusedWords { words: String, because: String } "this may not say `{words}`: {because}" => "say it another way";
    /// A paper a language promises and has no template for.
    Error "paper-not-translated" PaperNotTranslated { language: String, template: String } "{language} has no template `{template}`" => "write it, or take the paper out of `papers` in `language.yaml`";
    /// A file of a practice in place of a shipped one that it may not replace.
    Error "shipped-file-replaced" ShippedFileReplaced { file: String } "a practice may not put its own `{file}` in place of the shipped one" => "give your rule or question an id of its own; for other sentences write them below `rules/languages/en/`";
    /// A template that is no words of a paper.
    Error "template-not-replaceable" TemplateNotReplaceable { name: String } "`{name}` is no part of a paper that a practice can write" => "write parts as `PAPER/NN-name.md` with the name of a shipped paper, titles as `PAPER/title.txt`; pages and styles stay as they are";
    /// A template that cannot be filled.
    Error "template-does-not-fit" TemplateDoesNotFit { reason: String } "a paper cannot be made: {reason}" => "compare it with the shipped template of that name";
    /// A blank to be filled in that a sentence lost, or made up.
    Error "translation-changes-blank" TranslationChangesBlank { key: String, lost: String, new: String } "`{key}` does not fill in what the shipped sentence fills in: without {lost}, with {new}" => "keep each name in double braces as it is";
    /// A measure of a practice that changes more than words.
    Error "measure-changes-more-than-words" MeasureChangesMoreThanWords { id: String, what: String } "`{id}` is a shipped measure, and its {what} is not that of the shipped one" => "change its sentences alone, or give your measure an id of its own";
    /// A language nobody has.
    Error "language-unknown" LanguageUnknown { language: String, languages: String, close: Option<String> } "there is no language `{language}`" => meant(close, format!("there are {languages}"));
    /// A length the door sign cannot be read from.
    Error "sign-distance-does-not-fit" SignDistanceDoesNotFit { text: String } "a door sign on one page cannot be read from `{text}`" => "write a distance from 1 m to 3 m: the letters for more do not fit on one sheet";
    /// A time zone that no table has.
    Error "time-zone-unknown" TimeZoneUnknown { zone: String, close: Option<String> } "there is no time zone `{zone}`" => meant(close, "write part of the world and city, like `Europe/Lisbon`, or `UTC`");
    /// Opening hours of a day that no week has.
    Error "weekday-unknown" WeekdayUnknown { day: String, close: Option<String> } "`{day}` is no day of the week" => meant(close, "write `monday`, `monday to friday` or `every day`");
    /// Hours of one day in two places.
    Error "day-told-twice" DayToldTwice { day: String } "the hours of `{day}` are told twice" => "keep one line for each day; several spans of one day stand on its line with commas between";
    /// Opening hours that are none.
    Error "opening-does-not-fit" OpeningDoesNotFit { text: String } "`{text}` are no opening hours" => "write them like `9:00-17:00` or `9:00-12:00, 14:00-18:00`, or `shut`, or `all day`";
    /// A closing time before its opening time.
    Error "closes-before-opening" ClosesBeforeOpening { opens: String, closes: String } "the practice cannot open at {opens} and close at {closes} of the same day" => "write hours of the 24-hour clock; hours that go past midnight end at 24:00 and go on with 0:00 the next day";
    /// Two spans that share some time.
    Error "hours-overlap" HoursOverlap { text: String } "`{text}` overlaps with other hours of that day" => "check the times; each span begins when the one before it has ended";
    /// A holiday that is none.
    Error "holiday-does-not-fit" HolidayDoesNotFit { text: String, why: String } "`{text}` {why}" => "write a day like 2026-12-25, or the first and the last like `2026-12-24 to 2027-01-01`";
    /// Hours with no open day.
    Error "never-open" NeverOpen {} "the practice is open on no day of the week" => "write the hours of one day at least, or take `open` out: then every hour counts";
    /// Holidays that do not end.
    Error "shut-too-long" ShutTooLong { first: String, last: String } "the practice would be shut from {first} to {last}, which is more than a year" => "check the years; no reply would be due in all that time";
}
