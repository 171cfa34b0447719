//! Mistakes of versions: of a rulebook, and of a practice's own rules.

use super::mistakes;

mistakes! {
    /// A version that is none.
    Error "version-not-semantic" VersionNotSemantic { text: String, why: String } "`{text}` is no version: {why}" => "write three numbers with dots between, like 1.4.0, as Semantic Versioning asks";
    /// A version that no entry of the changelog made.
    Error "version-without-change" VersionWithoutChange { version: String, newest: String } "the version is {version}, and the first entry of `changes` is {newest}" => "put an entry for this version first, and say in it what changed and why";
    /// Entries of a changelog that are not the newest first.
    Error "changes-out-of-order" ChangesOutOfOrder { upper: String, lower: String } "{upper} stands above {lower}, and is no later" => "put the newest entry first: higher versions above lower ones, later days above earlier ones";
    /// A review before the edition itself.
    Error "review-before-edition" ReviewBeforeEdition { date: String } "this is no later than the day of the edition itself, {date}" => "write a day after it; a year is usual";
    /// A case that is held to another version of the rules.
    Error "held-to-other-version" HeldToOtherVersion { what: String, version: String, in_use: String } "this case is held to version {version} of {what}, and the one in use is {in_use}" => "decide it with the folder of that version (`--rules`, `--practice`); or see with `perchside rules compare` what the newer one changes, then write its version here";
    /// Rules that nobody looked at again in time.
    Warning "past-review" PastReview { what: String, review_by: String } "`{what}` was to be looked at again by {review_by}" => "read it against what is known and done today, change what needs it, and set a new `review-by`";
}
