//! What to write instead of a word that is not known.

/// The known word nearest to `given`, if one is near enough to have been meant.
pub(super) fn nearest<'k>(given: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let near = |word: &&str| strsim::damerau_levenshtein(given, word);
    let best = known.into_iter().min_by_key(near)?;
    (near(&best) <= (best.chars().count() / 3).max(1)).then_some(best)
}

/// The way forward from `given`: the nearest of the known words, and all of them.
pub(super) fn instead<'k>(
    given: &str,
    known: impl IntoIterator<Item = &'k str> + Clone,
    otherwise: &str,
) -> String {
    let first = nearest(given, known.clone()).map_or(otherwise.into(), |word| format!("write `{word}`"));
    match listed(known) {
        words if words.is_empty() => first,
        words => format!("{first}; known here: {words}"),
    }
}

/// The words with commas between.
pub(super) fn listed<'k>(words: impl IntoIterator<Item = &'k str>) -> String {
    words.into_iter().collect::<Vec<_>>().join(", ")
}
