//! Whether a part is the schedule's JSON, told from its beginning.

use restrand_kit::{Confidence, Part};

use crate::Form;
use crate::member::Member;
use crate::source::without_mark;
use restrand_kit::json_text::{Walk, unquoted};

/// Bytes that are looked at.
const HEAD: usize = 4096;

/// Looks at the first members of the root; a name's ending alone makes it possible.
pub(crate) fn probe(part: &dyn Part) -> Confidence {
    let by_name = match Form::of_name(part.name()) {
        Some(_) => Confidence::Perhaps,
        None => Confidence::No,
    };
    let mut head = [0; HEAD];
    let mut length = 0;
    while length < HEAD {
        match part.read_at(length as u64, &mut head[length..]) {
            Ok(0) | Err(_) => break,
            Ok(count) => length += count,
        }
    }
    if is_schedule(&head[..length]) { Confidence::Sure } else { by_name }
}

/// Whether a line that is well formed holds one record of a list, as in `{"tendons": {…}}`.
///
/// In a document the member of that name holds a list.
pub(crate) fn is_record(line: &[u8]) -> bool {
    let (_, line) = without_mark(line);
    let Ok(text) = std::str::from_utf8(line) else { return false };
    let mut walk = Walk::new(text, 0);
    if walk.peek() != Some(b'{') {
        return false;
    }
    walk.enter();
    let Some(quoted) = walk.member() else { return false };
    let name = unquoted(walk.slice(&quoted)).unwrap_or_default();
    let is_list = matches!(Member::of_name(&name), Some(Member::Many(..)));
    if !is_list || walk.peek() != Some(b'{') {
        return false;
    }
    walk.skip();
    walk.member().is_none()
}

fn is_schedule(head: &[u8]) -> bool {
    let (_, head) = without_mark(head);
    // A character may be cut in two at the end of what is looked at.
    let text = match std::str::from_utf8(head) {
        Ok(text) => text,
        Err(error) => std::str::from_utf8(&head[..error.valid_up_to()]).unwrap_or_default(),
    };
    let mut walk = Walk::new(text, 0);
    if walk.peek() != Some(b'{') {
        return false;
    }
    walk.enter();
    while let Some(quoted) = walk.member() {
        let name = unquoted(walk.slice(&quoted)).unwrap_or_default();
        let first = walk.peek();
        let fits = match Member::of_name(&name) {
            Some(Member::Version) => first.is_some_and(|byte| byte.is_ascii_digit()),
            // On a line by itself a record, in a document a list of them.
            Some(Member::Many(..)) => matches!(first, Some(b'[' | b'{')),
            // Other formats have members of these names too.
            Some(Member::One(..) | Member::Extra) | None => false,
        };
        if fits {
            return true;
        }
        walk.skip();
    }
    false
}
