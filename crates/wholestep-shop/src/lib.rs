//! What a shop does with exact axes.
