//! How deep a text is nested, found without going deep.

use crate::source::Fault;

/// The most levels that are read whatever the budget allows, as the walk's stack must hold them.
const MOST: u32 = 512;

/// Looks for the bracket that opens one level too many; the text need not be well formed.
pub(crate) fn check(text: &str, budget: u32) -> Result<(), Fault> {
    let most = budget.min(MOST);
    let mut depth = 0_u32;
    let mut in_text = false;
    let mut bytes = text.bytes().enumerate();
    while let Some((at, byte)) = bytes.next() {
        match byte {
            b'"' => in_text = !in_text,
            b'\\' if in_text => {
                // Whatever it is, the next byte does not end the text.
                bytes.next();
            }
            b'[' | b'{' if !in_text => {
                depth += 1;
                if depth > most {
                    return Err(Fault {
                        at: at..at + 1,
                        why: format!("it is nested more than {most} levels deep"),
                        help: "a schedule has fewer than twenty levels; is this another file?"
                            .to_owned(),
                    });
                }
            }
            b']' | b'}' if !in_text => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    Ok(())
}
