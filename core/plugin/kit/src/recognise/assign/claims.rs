//! Fields that several columns claim.

use restrand_model::reading::Sureness;

use super::{Assigned, NEAR};

/// Takes the fields that two columns claim from the weaker one, or from both if they are equal.
pub(super) fn settle_claims(columns: &mut [Assigned]) {
    for at in 0..columns.len() {
        let Some(target) = columns[at].target else { continue };
        let scope = columns[at].header.scope;
        let rivals: Vec<usize> = (at + 1..columns.len())
            .filter(|other| {
                columns[*other].target == Some(target) && columns[*other].header.scope == scope
            })
            .collect();
        if rivals.is_empty() {
            continue;
        }
        let claims: Vec<usize> = std::iter::once(at).chain(rivals).collect();
        let most = claims.iter().map(|one| columns[*one].score).fold(0.0, f64::max);
        let strong: Vec<usize> =
            claims.iter().copied().filter(|one| columns[*one].score > most - NEAR).collect();
        let names: Vec<String> =
            strong.iter().map(|one| format!("\"{}\"", columns[*one].header.given)).collect();
        let rivals: Vec<u32> = strong.iter().map(|one| columns[*one].index).collect();
        for one in claims {
            let is_strong = strong.contains(&one);
            let column = &mut columns[one];
            if is_strong && strong.len() == 1 {
                continue;
            }
            column.target = None;
            if is_strong {
                column.claim = Some((target, rivals.clone()));
                column.sureness = Sureness::Asked;
                column.why = format!("{} columns state it", rivals.len());
            } else {
                column.sureness = Sureness::Kept;
                column.why = format!(
                    "the column {} states {} more clearly",
                    names.join(", "),
                    target.name()
                );
            }
        }
    }
}
