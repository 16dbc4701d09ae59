//! A state kept as bytes, so that what goes on from it goes on with the same bits.
//!
//! What never changes after assembly (figures, tables, names, joins) is not written: the same plant is
//! assembled from its file, and the state is put into it. Therefore a state is taken *into* what stands there
//! already, and sizes that differ are told as a misfit. Numbers go as their bits, least byte first.
//!
//! [`kept!`](macro@crate::kept) says for a struct which fields are state and which are fixed. It names every field, so
//! that one which is added later does not compile until somebody has decided.
//!
//! ```
//! use base::kept;
//! #[derive(Clone)]
//! struct Valve { stroke: f64, position: f64 }
//! base::kept!(Valve { position } fixed { stroke });
//! let state = kept::state(&Valve { stroke: 8.0, position: 0.3 });
//! let other = kept::restored(&Valve { stroke: 8.0, position: 0.0 }, &state).unwrap();
//! assert_eq!(other.position, 0.3);
//! ```

use crate::Tick;
use std::fmt;

/// Why bytes are not the state of what they are put into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// What is wrong, as the end of a sentence.
    pub why: &'static str,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.why)
    }
}

/// They end too early.
pub const SHORT: Misfit = Misfit { why: "they end too early" };
/// Another shape.
pub const MADE_OTHERWISE: Misfit = Misfit { why: "another make of the program wrote them, which keeps other things" };
/// They are longer than a state.
pub const LONG: Misfit = Misfit { why: "there are more of them than the state needs" };
/// A number stands for no state.
pub const STRANGE: Misfit = Misfit { why: "one of them stands for nothing that can be" };
/// Another number of parts.
pub const OTHER: Misfit = Misfit { why: "they are of a plant with other parts" };

/// A fingerprint of what is written in which order: FNV-1a over the names of types and fields.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shape(u64);

impl Shape {
    /// Of a type.
    #[must_use]
    pub fn of<T: Kept>() -> Shape {
        let mut shape = Shape(0xcbf2_9ce4_8422_2325);
        T::shape(&mut shape);
        shape
    }

    /// Adds a name.
    pub fn name(&mut self, name: &str) {
        for byte in name.bytes().chain([0]) {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }

    /// Adds the shape of a field, which only the way to it tells.
    pub fn field<S, T: Kept>(&mut self, name: &str, _way: impl Fn(&S) -> &T) {
        self.name(name);
        T::shape(self);
    }
}

/// The state of something, after its shape.
#[must_use]
pub fn state<T: Kept>(of: &T) -> Vec<u8> {
    let mut out = Shape::of::<T>().0.to_le_bytes().to_vec();
    of.put(&mut out);
    out
}

/// Something with a state put into it.
///
/// # Errors
/// When the bytes are not the state of such a thing.
pub fn restored<T: Kept + Clone>(into: &T, state: &[u8]) -> Result<T, Misfit> {
    let (mut restored, mut from) = (into.clone(), Bytes::new(state));
    if u64::made(&mut from)? != Shape::of::<T>().0 {
        return Err(MADE_OTHERWISE);
    }
    restored.take(&mut from)?;
    if from.left.is_empty() { Ok(restored) } else { Err(LONG) }
}

/// Bytes that are read from the front.
#[derive(Clone, Copy, Debug)]
pub struct Bytes<'a> {
    left: &'a [u8],
}

impl<'a> Bytes<'a> {
    /// All of them.
    #[must_use]
    pub fn new(bytes: &'a [u8]) -> Bytes<'a> {
        Bytes { left: bytes }
    }

    /// The next few.
    ///
    /// # Errors
    /// [`SHORT`] when there are not that many.
    pub fn some<const N: usize>(&mut self) -> Result<[u8; N], Misfit> {
        let (first, left) = self.left.split_first_chunk().ok_or(SHORT)?;
        self.left = left;
        Ok(*first)
    }
}

/// Something whose state can be kept.
pub trait Kept {
    /// Adds what is written of it, and in which order.
    fn shape(shape: &mut Shape);

    /// Appends its state.
    fn put(&self, out: &mut Vec<u8>);

    /// Takes a state of the same thing over. After an error some of it has been taken: throw it away.
    ///
    /// # Errors
    /// When the bytes do not fit.
    fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit>;

    /// Makes it from bytes alone, where nothing of it is fixed.
    ///
    /// # Errors
    /// When the bytes do not fit, or something of it is fixed and stands nowhere.
    fn made(_from: &mut Bytes) -> Result<Self, Misfit>
    where
        Self: Sized,
    {
        Err(OTHER)
    }
}

macro_rules! number {
    ($($t:ty),*) => {$(
        impl Kept for $t {
            fn shape(shape: &mut Shape) {
                shape.name(stringify!($t));
            }
            fn put(&self, out: &mut Vec<u8>) {
                out.extend(self.to_le_bytes());
            }
            fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
                *self = Self::made(from)?;
                Ok(())
            }
            fn made(from: &mut Bytes) -> Result<Self, Misfit> {
                Ok(<$t>::from_le_bytes(from.some()?))
            }
        }
    )*};
}

// f64's bytes are its bits: a NaN keeps its own, a zero its sign.
number!(u8, u32, u64, f64);

macro_rules! as_another {
    ($($t:ty as $as:ty, $x:ident => $to:expr, $back:expr;)*) => {$(
        impl Kept for $t {
            fn shape(shape: &mut Shape) {
                shape.name(stringify!($t));
            }
            fn put(&self, out: &mut Vec<u8>) {
                let $x = *self;
                $to.put(out);
            }
            fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
                *self = Self::made(from)?;
                Ok(())
            }
            fn made(from: &mut Bytes) -> Result<Self, Misfit> {
                let $x = <$as>::made(from)?;
                $back
            }
        }
    )*};
}

as_another! {
    bool as u8, x => u8::from(x), match x { 0 => Ok(false), 1 => Ok(true), _ => Err(STRANGE) };
    usize as u64, x => x as u64, usize::try_from(x).map_err(|_| STRANGE);
    Tick as u32, x => x.0, Ok(Tick(x));
}

impl<T: Kept> Kept for Option<T> {
    fn shape(shape: &mut Shape) {
        shape.name("maybe");
        T::shape(shape);
    }
    fn put(&self, out: &mut Vec<u8>) {
        self.is_some().put(out);
        if let Some(x) = self {
            x.put(out);
        }
    }
    fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
        match (bool::made(from)?, &mut *self) {
            (true, Some(x)) => x.take(from)?,
            (true, None) => *self = Some(T::made(from)?),
            (false, _) => *self = None,
        }
        Ok(())
    }
    fn made(from: &mut Bytes) -> Result<Self, Misfit> {
        Ok(if bool::made(from)? { Some(T::made(from)?) } else { None })
    }
}

/// As many as there are: the number is fixed, and written only to find a misfit.
impl<T: Kept> Kept for Vec<T> {
    fn shape(shape: &mut Shape) {
        shape.name("some");
        T::shape(shape);
    }
    fn put(&self, out: &mut Vec<u8>) {
        (self.len() as u32).put(out);
        self.iter().for_each(|x| x.put(out));
    }
    fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
        if u32::made(from)? as usize != self.len() {
            return Err(OTHER);
        }
        self.iter_mut().try_for_each(|x| x.take(from))
    }
}

impl<T: Kept, const N: usize> Kept for [T; N] {
    fn shape(shape: &mut Shape) {
        (0..N).for_each(|_| T::shape(shape));
    }
    fn put(&self, out: &mut Vec<u8>) {
        self.iter().for_each(|x| x.put(out));
    }
    fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
        self.iter_mut().try_for_each(|x| x.take(from))
    }
    fn made(from: &mut Bytes) -> Result<Self, Misfit> {
        let all: Vec<T> = (0..N).map(|_| T::made(from)).collect::<Result<_, _>>()?;
        all.try_into().map_err(|_| OTHER)
    }
}

macro_rules! tuple {
    ($($t:ident $i:tt),*) => {
        impl<$($t: Kept),*> Kept for ($($t,)*) {
            fn shape(shape: &mut Shape) {
                $($t::shape(shape);)*
            }
            fn put(&self, out: &mut Vec<u8>) {
                $(self.$i.put(out);)*
            }
            fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
                $(self.$i.take(from)?;)*
                Ok(())
            }
            fn made(from: &mut Bytes) -> Result<Self, Misfit> {
                Ok(($($t::made(from)?,)*))
            }
        }
    };
}

tuple!(A 0, B 1);
tuple!(A 0, B 1, C 2);

/// Says which fields of a struct are its state and which are fixed (`kept!(Name { a, b } fixed { c })`), or
/// numbers the cases of an enum (`kept!(enum Name { 0 Off, 1 At(x), 2 Within { low, high } })`).
/// A number never changes its meaning: states that were written earlier hold it.
#[macro_export]
macro_rules! kept {
    (enum $name:ident { $($n:literal $case:ident $(($($t:ident),*))? $({$($f:ident),*})?),* $(,)? }) => {
        impl $crate::kept::Kept for $name {
            fn shape(shape: &mut $crate::kept::Shape) {
                $(shape.name(concat!($n, stringify!($case)));)*
            }
            fn put(&self, out: &mut Vec<u8>) {
                match self {$(
                    $name::$case $(($($t),*))? $({$($f),*})? => {
                        out.push($n);
                        $($($crate::kept::Kept::put($t, out);)*)?
                        $($($crate::kept::Kept::put($f, out);)*)?
                    }
                )*}
            }
            fn take(&mut self, from: &mut $crate::kept::Bytes) -> Result<(), $crate::kept::Misfit> {
                *self = <Self as $crate::kept::Kept>::made(from)?;
                Ok(())
            }
            fn made(from: &mut $crate::kept::Bytes) -> Result<Self, $crate::kept::Misfit> {
                let n: u8 = $crate::kept::Kept::made(from)?;
                Ok(match n {
                    $($n => {
                        $($(let $t = $crate::kept::Kept::made(from)?;)*)?
                        $($(let $f = $crate::kept::Kept::made(from)?;)*)?
                        $name::$case $(($($t),*))? $({$($f),*})?
                    })*
                    _ => return Err($crate::kept::STRANGE),
                })
            }
        }
    };
    ($name:ident { $($f:ident),* $(,)? }) => {
        impl $crate::kept::Kept for $name {
            fn shape(shape: &mut $crate::kept::Shape) {
                shape.name(stringify!($name));
                $(shape.field(stringify!($f), |x: &$name| &x.$f);)*
            }
            fn put(&self, out: &mut Vec<u8>) {
                let $name { $($f),* } = self;
                $($crate::kept::Kept::put($f, out);)*
            }
            fn take(&mut self, from: &mut $crate::kept::Bytes) -> Result<(), $crate::kept::Misfit> {
                let $name { $($f),* } = self;
                $($crate::kept::Kept::take($f, from)?;)*
                Ok(())
            }
            fn made(from: &mut $crate::kept::Bytes) -> Result<Self, $crate::kept::Misfit> {
                $(let $f = $crate::kept::Kept::made(from)?;)*
                Ok($name { $($f),* })
            }
        }
    };
    ($name:ident { $($f:ident),* $(,)? } fixed { $($fixed:ident),* $(,)? }) => {
        impl $crate::kept::Kept for $name {
            fn shape(shape: &mut $crate::kept::Shape) {
                shape.name(stringify!($name));
                $(shape.field(stringify!($f), |x: &$name| &x.$f);)*
            }
            fn put(&self, out: &mut Vec<u8>) {
                let $name { $($f,)* $($fixed: _,)* } = self;
                $($crate::kept::Kept::put($f, out);)*
            }
            fn take(&mut self, from: &mut $crate::kept::Bytes) -> Result<(), $crate::kept::Misfit> {
                let $name { $($f,)* $($fixed: _,)* } = self;
                $($crate::kept::Kept::take($f, from)?;)*
                Ok(())
            }
        }
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Clone, Debug, PartialEq)]
    enum Drive {
        Hand,
        At(f64),
        Within { low: f64, high: Option<f64> },
    }
    kept!(enum Drive { 0 Hand, 1 At(x), 2 Within { low, high } });

    #[derive(Clone, Debug, PartialEq)]
    struct Part {
        name: String,
        drive: Drive,
        sums: Vec<(f64, f64)>,
        seen: Option<[f64; 2]>,
        n: usize,
        since: Tick,
    }
    kept!(Part { drive, sums, seen, n, since } fixed { name });

    fn part(drive: Drive) -> Part {
        let sums = vec![(1.5, -0.0), (f64::MIN_POSITIVE, f64::NEG_INFINITY)];
        Part { name: "a".into(), drive, sums, seen: Some([0.1, 0.2]), n: 7, since: Tick(9) }
    }

    #[test]
    fn what_is_taken_is_what_was_put_and_what_is_fixed_stays() {
        for drive in [Drive::Hand, Drive::At(0.3), Drive::Within { low: 0.0, high: Some(2.0) }] {
            let kept = state(&part(drive.clone()));
            let mut other = part(Drive::Hand);
            (other.name, other.seen, other.n, other.sums[0].1) = ("b".into(), None, 0, 4.0);
            let other = restored(&other, &kept).unwrap();
            assert_eq!((state(&other), other.name.as_str(), &other.drive), (kept, "b", &drive));
            assert!(other.sums[0].1.is_sign_negative(), "a zero keeps its sign");
        }
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        let kept = state(&part(Drive::At(1.0)));
        let take = |bytes: &[u8], into: &Part| restored(into, bytes).map(|_| ());
        let sound = part(Drive::Hand);
        for n in 0..kept.len() {
            assert_eq!(take(&kept[..n], &sound), Err(SHORT), "{n}");
        }
        let changed = |at: usize| {
            let mut bytes = kept.clone();
            bytes[at] = 3;
            bytes
        };
        assert_eq!(take(&changed(0), &sound), Err(MADE_OTHERWISE));
        assert_eq!(take(&changed(8), &sound), Err(STRANGE));
        let mut fewer = part(Drive::Hand);
        fewer.sums.pop();
        assert_eq!(take(&kept, &fewer), Err(OTHER));
        assert_eq!(take(&[kept.as_slice(), &[0]].concat(), &sound), Err(LONG));
    }

    #[test]
    fn another_field_or_another_type_is_another_shape() {
        struct One {
            x: f64,
            y: f64,
        }
        kept!(One { x, y });
        struct Two {
            x: f64,
            y: f64,
        }
        kept!(Two { y, x });
        struct Three {
            x: f64,
            y: u64,
        }
        kept!(Three { x, y });
        let shapes = [Shape::of::<One>(), Shape::of::<Two>(), Shape::of::<Three>(), Shape::of::<Option<One>>()];
        for (i, a) in shapes.iter().enumerate() {
            assert!(shapes[i + 1..].iter().all(|b| b != a));
        }
    }
}
