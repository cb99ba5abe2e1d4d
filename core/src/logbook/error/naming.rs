//! Why what was typed or scanned names nothing, or more than one thing.

use thiserror::Error;

use crate::hose::Label;
use crate::tag::{Code, CodeError};
use crate::words::sets::{no_tag, not_a_hose};

/// What was typed or scanned names no hose or set, or more than one.
#[derive(Debug, Error)]
pub enum NamingError {
    /// What was typed is no code.
    #[error("{0}")]
    NotACode(CodeError),
    /// The check character is wrong; the hoses on record one slip away.
    #[error("{error}{}", one_slip(.near))]
    WrongCheck {
        /// What is wrong.
        error: CodeError,
        /// Tags on record that are one slip away.
        near: Vec<Code>,
    },
    /// No hose on record has this tag.
    #[error(
        "no hose on record has the tag {0}; import the record of the device that registered it, or register the hose here"
    )]
    UnknownTag(Code),
    /// No tag on record begins so.
    #[error("no tag on record begins with “{0}”, and no barcode says so; type more of it, or scan")]
    NothingBeginsSo(String),
    /// Too few characters of a code.
    #[error("“{0}” is too short to name a hose; type at least five characters of its code")]
    TooShort(String),
    /// The own number is another hose's.
    #[error(
        "the number {number} is in use for {holder}; within a branch a number of your own names \
         one hose. Choose another, or give that hose another number first"
    )]
    NumberInUse {
        /// The number.
        number: Label,
        /// The hose that has it.
        holder: Code,
    },
    /// Two of the hoses have one own number.
    #[error("two of these hoses have the number {0}; a number of your own names one hose")]
    NumberTwice(Label),
    /// A whole code is needed.
    #[error("“{0}” is only a part of a code; scan the tag, or type its whole code, for this")]
    WholeCodeNeeded(String),
    /// Several hoses match.
    #[error("“{typed}” could be {}; type more of it", listed(.codes))]
    Several {
        /// What was typed.
        typed: String,
        /// The tags that match.
        codes: Vec<Code>,
    },
    /// The tag is on record already.
    #[error("the tag {0} is already on record; each tag is used once")]
    TagInUse(Code),
    /// The tag is a set's, when a hose's is meant.
    #[error("{}", not_a_hose(*.tag, .set))]
    TagOfSet {
        /// The tag.
        tag: Code,
        /// The set.
        set: Label,
    },
    /// The set has no tag.
    #[error("{}", no_tag(.0))]
    SetHasNoTag(Label),
    /// The barcode is bound to another hose.
    #[error("that barcode is already bound to {0}; a barcode names one hose")]
    BarcodeInUse(Code),
    /// The tag names two hoses.
    #[error(
        "the tag {0} names two hoses; say which of its two registrations is the hose in your \
         hand, and look it over fully with its new tag"
    )]
    TwoHoses(Code),
    /// It is none of two registrations of one tag.
    #[error(
        "that entry is not one of the two registrations of {0}; name the one of the hose in your \
         hand"
    )]
    NotARegistration(Code),
    /// The barcode reads as the beginning of a tag.
    #[error("“{0}” could be the beginning of a tag's code; it would open the wrong hose")]
    BarcodeLikeTag(Label),
    /// A scanned text is not ours and bound to no hose.
    #[error(
        "“{0}” is not a Hosewright tag, and not bound to a hose; scan the hose's own tag, or type \
         the code that is printed on it"
    )]
    ForeignText(String),
    /// No tag was seen in a picture.
    #[error(
        "no tag was found in the picture; take it closer, sharp and without glare, or type the \
         code that is printed on the tag"
    )]
    NoTagSeen,
    /// More than one tag was seen in a picture.
    #[error("the picture shows {}; take it again with only one tag", seen_tags(.0))]
    SeveralTagsSeen(Vec<String>),
}

fn listed(codes: &[Code]) -> String {
    codes.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ")
}

fn seen_tags(tags: &[String]) -> String {
    format!("{} different tags: {}", tags.len(), tags.join(" and "))
}

fn one_slip(near: &[Code]) -> String {
    if near.is_empty() {
        return ". No tag on record is one slip away".to_owned();
    }
    format!(". One slip away on record: {}", listed(near))
}
