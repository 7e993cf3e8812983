//! The two declarations from which everything about a record follows.

/// Declares an enumeration of the document: variants, their words, their meaning.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        pub enum $name:ident {
            $( $(#[doc = $variant_doc:literal])* $variant:ident = $word:literal ),+ $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $( $(#[doc = $variant_doc])* $variant ),+
        }

        impl $crate::reflect::Choice for $name {
            const WORDS: &'static [$crate::reflect::ChoiceInfo] = {
                // Static for the reason that `record!` gives.
                static WORDS: [$crate::reflect::ChoiceInfo; [$($word),+].len()] = [
                    $( $crate::reflect::ChoiceInfo { name: $word, doc: &[$($variant_doc),*] } ),+
                ];
                &WORDS
            };
            const ALL: &'static [Self] = &[$( Self::$variant ),+];
        }

        impl ::std::fmt::Display for $name {
            fn fmt(&self, f: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                // In running text the words stand without their underscores.
                f.write_str(&$crate::reflect::Choice::word(*self).replace('_', " "))
            }
        }

        impl $crate::reflect::Shaped for Option<$name> {
            const SHAPE: $crate::reflect::Shape =
                $crate::reflect::Shape::Choice(<$name as $crate::reflect::Choice>::WORDS);
        }

        impl $crate::reflect::Node for Option<$name> {
            fn view(&self) -> $crate::reflect::View<'_> {
                match self {
                    Some(variant) => {
                        $crate::reflect::View::Text($crate::reflect::Choice::word(*variant))
                    }
                    None => $crate::reflect::View::Absent,
                }
            }

            fn set(&mut self, value: $crate::Value) -> Result<(), $crate::reflect::Misfit> {
                let variant = value.as_text().and_then(<$name as $crate::reflect::Choice>::of_word);
                *self = Some(variant.ok_or_else(|| {
                    $crate::reflect::Misfit::new("one of the words of the list")
                })?);
                Ok(())
            }

            fn clear(&mut self) {
                *self = None;
            }
        }

        impl $crate::reflect::List for Vec<$name> {
            fn len(&self) -> usize {
                Vec::len(self)
            }

            fn item(&self, index: usize) -> $crate::reflect::View<'_> {
                $crate::reflect::View::Text($crate::reflect::Choice::word(self[index]))
            }
        }

        impl $crate::reflect::Shaped for Vec<$name> {
            const SHAPE: $crate::reflect::Shape =
                $crate::reflect::Shape::Choices(<$name as $crate::reflect::Choice>::WORDS);
        }

        impl $crate::reflect::Node for Vec<$name> {
            fn view(&self) -> $crate::reflect::View<'_> {
                $crate::reflect::View::List(self)
            }

            fn set(&mut self, value: $crate::Value) -> Result<(), $crate::reflect::Misfit> {
                let needed = "a list of words of the list";
                let $crate::Value::List(items) = value else {
                    return Err($crate::reflect::Misfit::new(needed));
                };
                *self = items
                    .iter()
                    .map(|item| {
                        item.as_text()
                            .and_then(<$name as $crate::reflect::Choice>::of_word)
                            .ok_or_else(|| $crate::reflect::Misfit::new(needed))
                    })
                    .collect::<Result<_, _>>()?;
                Ok(())
            }

            fn clear(&mut self) {
                Vec::clear(self);
            }
        }
    };
}

/// Declares a record of the document: its fields, their meaning, and what numbers they take.
///
/// `key field` names the field by which others name the record; `in list` the schedule's list it lives in.
/// A number takes only positive values unless its range says otherwise in brackets.
macro_rules! record {
    (
        $(#[doc = $doc:literal])*
        pub struct $name:ident as $label:literal $(, key $key:ident)? $(, in $list:literal)? {
            $(
                $(#[doc = $field_doc:literal])*
                pub $field:ident : $type:ty $([$range:ident])?
            ),* $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Default, PartialEq)]
        pub struct $name {
            $( $(#[doc = $field_doc])* pub $field: $type, )*
            /// What the file says of this record and no field takes.
            pub extra: $crate::reflect::Extra,
            /// Where the record was read.
            pub origin: $crate::reading::Origin,
        }

        impl $name {
            /// The declaration of the record.
            pub const INFO: &'static $crate::reflect::RecordInfo = {
                // A constant alone is copied into each crate that names it, and all pointers of all copies are put
                // right at every start of the program.
                static INFO: $crate::reflect::RecordInfo = $crate::reflect::RecordInfo {
                    name: $label,
                    doc: &[$($doc),*],
                    key: record!(@key $($key)?),
                    fields: &FIELDS,
                    make: || Box::new($name::default()),
                };
                static FIELDS: [$crate::reflect::FieldInfo; COUNT] = [$(
                    $crate::reflect::FieldInfo {
                        name: stringify!($field),
                        doc: &[$($field_doc),*],
                        shape: <$type as $crate::reflect::Shaped>::SHAPE,
                        range: record!(@range $($range)?),
                        unit: std::sync::OnceLock::new(),
                    }
                ),*];
                const COUNT: usize = [$(stringify!($field)),*].len();
                &INFO
            };
        }

        $(
            impl $crate::reflect::Listed for $name {
                const LIST: &'static str = $list;
            }
        )?

        impl $crate::reflect::Record for $name {
            fn info(&self) -> &'static $crate::reflect::RecordInfo {
                Self::INFO
            }

            fn field(&self, index: usize) -> &dyn $crate::reflect::Node {
                const FIELDS: &[fn(&$name) -> &dyn $crate::reflect::Node] =
                    &[$( |record| &record.$field ),*];
                FIELDS[index](self)
            }

            fn field_mut(&mut self, index: usize) -> &mut dyn $crate::reflect::Node {
                const FIELDS: &[fn(&mut $name) -> &mut dyn $crate::reflect::Node] =
                    &[$( |record| &mut record.$field ),*];
                FIELDS[index](self)
            }

            fn origin(&self) -> $crate::reading::Origin {
                self.origin
            }

            fn set_origin(&mut self, origin: $crate::reading::Origin) {
                self.origin = origin;
            }

            fn extra(&self) -> &$crate::reflect::Extra {
                &self.extra
            }

            fn extra_mut(&mut self) -> &mut $crate::reflect::Extra {
                &mut self.extra
            }
        }

        impl $crate::reflect::Shaped for Option<Box<$name>> {
            const SHAPE: $crate::reflect::Shape =
                $crate::reflect::Shape::Record(|| $name::INFO);
        }

        impl $crate::reflect::Node for Option<Box<$name>> {
            fn view(&self) -> $crate::reflect::View<'_> {
                match self {
                    Some(record) => $crate::reflect::View::Record(record.as_ref()),
                    None => $crate::reflect::View::Absent,
                }
            }

            fn set(&mut self, value: $crate::Value) -> Result<(), $crate::reflect::Misfit> {
                $crate::reflect::build::set_record(self, value)
            }

            fn clear(&mut self) {
                *self = None;
            }

            fn record_mut(&mut self) -> Option<&mut dyn $crate::reflect::Record> {
                Some(self.get_or_insert_default().as_mut())
            }

            fn adopt(
                &mut self,
                record: Box<dyn $crate::reflect::Record>,
            ) -> Result<(), Box<dyn $crate::reflect::Record>> {
                if self.is_some() || record.info().name != $name::INFO.name {
                    return Err(record);
                }
                let any: Box<dyn ::std::any::Any> = record;
                *self = any.downcast::<$name>().ok();
                Ok(())
            }
        }

        impl $crate::reflect::List for Vec<$name> {
            fn len(&self) -> usize {
                Vec::len(self)
            }

            fn item(&self, index: usize) -> $crate::reflect::View<'_> {
                $crate::reflect::View::Record(&self[index])
            }
        }

        impl $crate::reflect::Shaped for Vec<$name> {
            const SHAPE: $crate::reflect::Shape =
                $crate::reflect::Shape::Records(|| $name::INFO);
        }

        impl $crate::reflect::Node for Vec<$name> {
            fn view(&self) -> $crate::reflect::View<'_> {
                $crate::reflect::View::List(self)
            }

            fn set(&mut self, value: $crate::Value) -> Result<(), $crate::reflect::Misfit> {
                $crate::reflect::build::set_list(self, value)
            }

            fn clear(&mut self) {
                Vec::clear(self);
            }

            fn item_mut(&mut self, index: usize) -> Option<&mut dyn $crate::reflect::Record> {
                match self.get_mut(index) {
                    Some(record) => Some(record),
                    None => None,
                }
            }

            fn adopt(
                &mut self,
                record: Box<dyn $crate::reflect::Record>,
            ) -> Result<(), Box<dyn $crate::reflect::Record>> {
                if record.info().name != $name::INFO.name {
                    return Err(record);
                }
                let any: Box<dyn ::std::any::Any> = record;
                self.extend(any.downcast::<$name>().map(|record| *record));
                Ok(())
            }
        }
    };
    (@key) => { None };
    (@key $key:ident) => { Some(stringify!($key)) };
    (@range) => { $crate::reflect::Range::Positive };
    (@range $range:ident) => { $crate::reflect::Range::$range };
}

pub(crate) use {choice, record};
