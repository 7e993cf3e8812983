//! The C header of the plugin interface, made of the Rust source that it mirrors.

use cbindgen::{Builder, Config, DocumentationStyle, Language, Style};

use crate::generate::top;

/// The C header cannot be made.
#[derive(Debug, thiserror::Error)]
#[error("the C header cannot be made: {0}")]
pub struct HeaderError(String);

const ABOVE: &str = "\
/* The plugin interface of restrand. Generated from core/plugin/abi by `cargo dev generate`.

   A plugin is a library with one symbol, restrand_plugin_v1. What crosses are integers, pointers, lengths and
   callbacks. Texts are UTF-8 with their length. All that a call hands over, in either direction, belongs to who
   made it and is lent for that call only, so that nobody frees what another allocated. DEVELOPERS.md says what
   the lines of JSON hold. */";

const BELOW: &str = "\
/* The one symbol of a plugin. What it returns is never freed and never changes; a library is never unloaded. */
#if defined(_WIN32)
__declspec(dllexport)
#endif
const RestrandPlugin *restrand_plugin_v1(void);";

/// The text of the header.
pub(crate) fn header() -> Result<Vec<u8>, HeaderError> {
    let mut config = Config {
        language: Language::C,
        style: Style::Both,
        include_guard: Some("RESTRAND_PLUGIN_H".to_owned()),
        header: Some(ABOVE.to_owned()),
        trailer: Some(BELOW.to_owned()),
        no_includes: true,
        sys_includes: vec!["stddef.h".to_owned(), "stdint.h".to_owned()],
        documentation_style: DocumentationStyle::C,
        usize_is_size_t: true,
        cpp_compat: true,
        ..Config::default()
    };
    config.export.include = vec!["RestrandPlugin".to_owned()];
    config.export.exclude = vec!["SYMBOL".to_owned(), "RestrandEntry".to_owned()];
    let bindings = Builder::new()
        .with_config(config)
        .with_src(top().join("core/plugin/abi/src/lib.rs"))
        .generate()
        .map_err(|error| HeaderError(error.to_string()))?;
    let mut text = Vec::new();
    bindings.write(&mut text);
    Ok(text)
}
