//! What measurements say taken together: which of them disagrees with the others, and by how much. Comes in: numbers
//! with their precision. Goes out: estimates with theirs. Knows no deck word.

pub mod bump;
