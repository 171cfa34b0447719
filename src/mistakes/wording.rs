//! Mistakes of the words: translations, a practice's own sentences, its settings.

use super::{meant, mistakes};

mistakes! {
    /// Sentences that a language does not have yet.
    Warning "translation-missing" TranslationMissing { language: String, count: usize, keys: String } "{count} sentences are not in {language} yet: {keys}" => "add them below `languages/`; until then they are printed in English, and marked";
    /// A sentence of a language that belongs to nothing.
    Error "translation-of-nothing" TranslationOfNothing { key: String, close: Option<String> } "`{key}` is the sentence of nothing here" => meant(close, "take it out, or name the measure, rule or question it belongs to");
    /// A sentence whose English has changed since.
    Warning "translation-stale" TranslationStale { language: String, count: usize, keys: String } "{count} entries were put into {language} from an older English text: {keys}" => "compare them with the English, then set their mark in `made-from.yaml`";
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
}
