//! The C library of GEOS, opened when the program runs: its reentrant functions (`..._r`), each call
//! with a context of its thread. The only module with `unsafe` code.
#![allow(unsafe_code, reason = "GEOS is a C library; every call is one")]

use spile::shape::Point;
use std::ffi::{CStr, c_char, c_double, c_int, c_uint, c_void};
use std::path::Path;
use std::ptr::NonNull;

type Context = *mut c_void;
type Raw = *mut c_void;
type RawConst = *const c_void;

/// Declares the functions of the C header (`geos_c.h`) that are used, and loads them by name.
macro_rules! functions {
    ($($field:ident = $name:literal : fn($($argument:ty),*) $(-> $result:ty)?;)*) => {
        #[derive(Debug)]
        struct Functions {
            $($field: unsafe extern "C" fn($($argument),*) $(-> $result)?,)*
        }

        impl Functions {
            fn of(library: &libloading::Library) -> Result<Self, String> {
                $(
                    // SAFETY: the type is the function's declaration in geos_c.h, whose binary interface is
                    // kept between versions; the pointer is used only while the library is open, for both
                    // live in `Library`.
                    let $field = unsafe {
                        library.get::<unsafe extern "C" fn($($argument),*) $(-> $result)?>($name)
                    };
                    let $field = *$field.map_err(|fault| fault.to_string())?;
                )*
                Ok(Self { $($field),* })
            }
        }
    };
}

functions! {
    version = b"GEOSversion" : fn() -> *const c_char;
    init = b"GEOS_init_r" : fn() -> Context;
    finish = b"GEOS_finish_r" : fn(Context);
    sequence = b"GEOSCoordSeq_copyFromBuffer_r" : fn(Context, *const c_double, c_uint, c_int, c_int) -> Raw;
    sequence_size = b"GEOSCoordSeq_getSize_r" : fn(Context, RawConst, *mut c_uint) -> c_int;
    sequence_copy = b"GEOSCoordSeq_copyToBuffer_r" : fn(Context, RawConst, *mut c_double, c_int, c_int) -> c_int;
    ring = b"GEOSGeom_createLinearRing_r" : fn(Context, Raw) -> Raw;
    polygon = b"GEOSGeom_createPolygon_r" : fn(Context, Raw, *mut Raw, c_uint) -> Raw;
    collection = b"GEOSGeom_createCollection_r" : fn(Context, c_int, *mut Raw, c_uint) -> Raw;
    clone = b"GEOSGeom_clone_r" : fn(Context, RawConst) -> Raw;
    destroy = b"GEOSGeom_destroy_r" : fn(Context, Raw);
    params = b"GEOSBufferParams_create_r" : fn(Context) -> Raw;
    params_destroy = b"GEOSBufferParams_destroy_r" : fn(Context, Raw);
    params_quadrant = b"GEOSBufferParams_setQuadrantSegments_r" : fn(Context, Raw, c_int) -> c_int;
    params_join = b"GEOSBufferParams_setJoinStyle_r" : fn(Context, Raw, c_int) -> c_int;
    buffer = b"GEOSBufferWithParams_r" : fn(Context, RawConst, RawConst, c_double) -> Raw;
    union = b"GEOSUnaryUnion_r" : fn(Context, RawConst) -> Raw;
    difference = b"GEOSDifference_r" : fn(Context, RawConst, RawConst) -> Raw;
    is_valid = b"GEOSisValid_r" : fn(Context, RawConst) -> c_char;
    area = b"GEOSArea_r" : fn(Context, RawConst, *mut c_double) -> c_int;
    length = b"GEOSLength_r" : fn(Context, RawConst, *mut c_double) -> c_int;
    type_id = b"GEOSGeomTypeId_r" : fn(Context, RawConst) -> c_int;
    count = b"GEOSGetNumGeometries_r" : fn(Context, RawConst) -> c_int;
    nth = b"GEOSGetGeometryN_r" : fn(Context, RawConst, c_int) -> RawConst;
    shell = b"GEOSGetExteriorRing_r" : fn(Context, RawConst) -> RawConst;
    hole_count = b"GEOSGetNumInteriorRings_r" : fn(Context, RawConst) -> c_int;
    hole = b"GEOSGetInteriorRingN_r" : fn(Context, RawConst, c_int) -> RawConst;
    coordinates = b"GEOSGeom_getCoordSeq_r" : fn(Context, RawConst) -> RawConst;
}

/// `GEOSBUF_JOIN_ROUND` of geos_c.h.
const JOIN_ROUND: c_int = 1;
/// `GEOS_POLYGON` of geos_c.h.
const POLYGON: c_int = 3;
/// `GEOS_GEOMETRYCOLLECTION` of geos_c.h.
const COLLECTION: c_int = 7;

/// The library with a context of its own: one for each thread.
#[derive(Debug)]
pub struct Library {
    functions: Functions,
    context: Context,
    /// Closed last.
    _library: libloading::Library,
}

impl Library {
    /// Opens the library at a path.
    ///
    /// # Errors
    /// Why it cannot be opened, or which function it lacks.
    pub fn open(path: &Path) -> Result<Self, String> {
        // SAFETY: the library's initialisers are those of the C++ runtime; nothing here depends on what
        // they do.
        let library = unsafe { libloading::Library::new(path) };
        let library = library.map_err(|fault| format!("{}: {fault}", path.display()))?;
        let functions = Functions::of(&library)?;
        // SAFETY: takes nothing; the context is given back in `drop`.
        let context = unsafe { (functions.init)() };
        if context.is_null() {
            return Err("GEOS gives no context".to_owned());
        }
        Ok(Self {
            functions,
            context,
            _library: library,
        })
    }

    /// What the library says of its version.
    #[must_use]
    pub fn version(&self) -> String {
        // SAFETY: a string that stays for as long as the library is open, ended by a zero.
        let text = unsafe { CStr::from_ptr((self.functions.version)()) };
        text.to_string_lossy().into_owned()
    }

    /// The inside of a polygon without holes, through `vertices`.
    ///
    /// # Errors
    /// Where GEOS gives none.
    pub fn polygon(&self, vertices: &[Point]) -> Result<Geometry<'_>, String> {
        let first = vertices.first();
        let flat: Vec<c_double> = vertices
            .iter()
            .chain(first)
            .flat_map(|at| [at.x, at.y])
            .collect();
        let size = c_uint::try_from(flat.len() / 2).map_err(|fault| fault.to_string())?;
        let functions = &self.functions;
        // SAFETY: the buffer holds `size` pairs and is copied. Each object goes over to the next, which
        // owns it from then on, even where it fails.
        let polygon = unsafe {
            let sequence = (functions.sequence)(self.context, flat.as_ptr(), size, 0, 0);
            if sequence.is_null() {
                return Err("GEOS: no coordinates".to_owned());
            }
            let ring = (functions.ring)(self.context, sequence);
            if ring.is_null() {
                return Err("GEOS: no ring".to_owned());
            }
            (functions.polygon)(self.context, ring, std::ptr::null_mut(), 0)
        };
        self.own(polygon, "polygon")
    }

    /// Everything in any of some geometries.
    ///
    /// # Errors
    /// Where GEOS gives none.
    pub fn union(&self, parts: Vec<Geometry<'_>>) -> Result<Geometry<'_>, String> {
        let size = c_uint::try_from(parts.len()).map_err(|fault| fault.to_string())?;
        let mut raw: Vec<Raw> = parts.into_iter().map(Geometry::into_raw).collect();
        // SAFETY: the collection owns its parts from here on; the list itself stays ours.
        let all = unsafe {
            (self.functions.collection)(self.context, COLLECTION, raw.as_mut_ptr(), size)
        };
        let all = self.own(all, "collection")?;
        // SAFETY: the collection lives until the end of this function.
        let union = unsafe { (self.functions.union)(self.context, all.raw()) };
        self.own(union, "union")
    }

    fn own(&self, raw: Raw, what: &str) -> Result<Geometry<'_>, String> {
        let raw = NonNull::new(raw).ok_or_else(|| format!("GEOS: no {what}"))?;
        Ok(Geometry { raw, library: self })
    }

    /// The vertices of a ring, the last one, which repeats the first, left out.
    fn vertices(&self, ring: RawConst) -> Result<Vec<Point>, String> {
        let functions = &self.functions;
        let mut size: c_uint = 0;
        // SAFETY: `ring` belongs to a geometry that the caller holds; so do its coordinates.
        let sequence = unsafe {
            let sequence = (functions.coordinates)(self.context, ring);
            if sequence.is_null()
                || (functions.sequence_size)(self.context, sequence, &raw mut size) == 0
            {
                return Err("GEOS: no coordinates".to_owned());
            }
            sequence
        };
        let mut flat: Vec<c_double> = vec![0.0; 2 * size as usize];
        // SAFETY: the buffer has room for `size` pairs, without a third or fourth ordinate.
        let copied =
            unsafe { (functions.sequence_copy)(self.context, sequence, flat.as_mut_ptr(), 0, 0) };
        if copied == 0 {
            return Err("GEOS: no coordinates".to_owned());
        }
        let mut points: Vec<Point> = flat
            .chunks_exact(2)
            .map(|pair| Point::new(pair[0], pair[1]))
            .collect();
        points.pop();
        Ok(points)
    }
}

impl Drop for Library {
    fn drop(&mut self) {
        // SAFETY: every geometry borrows the library, so none is left.
        unsafe { (self.functions.finish)(self.context) }
    }
}

/// A geometry that GEOS made.
#[derive(Debug)]
pub struct Geometry<'a> {
    raw: NonNull<c_void>,
    library: &'a Library,
}

/// One polygon of a geometry.
#[derive(Debug, Clone)]
pub struct Part {
    /// Area less its holes, mm².
    pub area: f64,
    /// Outer boundary.
    pub shell: Vec<Point>,
    /// Boundaries of its holes.
    pub holes: Vec<Vec<Point>>,
}

impl<'a> Geometry<'a> {
    const fn raw(&self) -> RawConst {
        self.raw.as_ptr()
    }

    fn into_raw(self) -> Raw {
        let raw = self.raw.as_ptr();
        std::mem::forget(self);
        raw
    }

    /// The geometry grown by `distance`, or shrunk where it is below 0, with round joins of so many chords
    /// in a quarter turn.
    ///
    /// # Errors
    /// Where GEOS gives none.
    pub fn buffer(&self, distance: f64, quadrant: u32) -> Result<Self, String> {
        let (functions, context) = (&self.library.functions, self.library.context);
        let quadrant = c_int::try_from(quadrant).map_err(|fault| fault.to_string())?;
        // SAFETY: the parameters live from here to their destruction below, and are used in between.
        let result = unsafe {
            let params = (functions.params)(context);
            if params.is_null() {
                return Err("GEOS: no buffer parameters".to_owned());
            }
            let set = (functions.params_quadrant)(context, params, quadrant) != 0
                && (functions.params_join)(context, params, JOIN_ROUND) != 0;
            let result = if set {
                (functions.buffer)(context, self.raw(), params, distance)
            } else {
                std::ptr::null_mut()
            };
            (functions.params_destroy)(context, params);
            result
        };
        self.library.own(result, "buffer")
    }

    /// What of it does not lie in `other`.
    ///
    /// # Errors
    /// Where GEOS gives none.
    pub fn difference(&self, other: &Geometry<'_>) -> Result<Self, String> {
        let library = self.library;
        // SAFETY: both live until the call is over.
        let result =
            unsafe { (library.functions.difference)(library.context, self.raw(), other.raw()) };
        library.own(result, "difference")
    }

    /// Whether GEOS itself finds it valid.
    ///
    /// # Errors
    /// Where it cannot say.
    pub fn is_valid(&self) -> Result<bool, String> {
        let library = self.library;
        // SAFETY: the geometry lives until the call is over.
        match unsafe { (library.functions.is_valid)(library.context, self.raw()) } {
            0 => Ok(false),
            1 => Ok(true),
            _ => Err("GEOS: validity unknown".to_owned()),
        }
    }

    /// Area in mm².
    ///
    /// # Errors
    /// Where GEOS gives none.
    pub fn area(&self) -> Result<f64, String> {
        self.library
            .measured(self.raw(), self.library.functions.area)
    }

    /// Length of all boundaries in millimetres.
    ///
    /// # Errors
    /// Where GEOS gives none.
    pub fn length(&self) -> Result<f64, String> {
        self.library
            .measured(self.raw(), self.library.functions.length)
    }

    /// Its polygons; whatever has no area is left out.
    ///
    /// # Errors
    /// Where GEOS does not give them.
    pub fn parts(&self) -> Result<Vec<Part>, String> {
        let library = self.library;
        let (functions, context) = (&library.functions, library.context);
        // SAFETY: the geometry lives for as long as `self`; so do its parts and their rings, which are
        // only read here. Each index is below the count just asked for.
        unsafe {
            let mut parts = Vec::new();
            for index in 0..(functions.count)(context, self.raw()) {
                let part = (functions.nth)(context, self.raw(), index);
                if part.is_null() {
                    return Err("GEOS: no part".to_owned());
                }
                if (functions.type_id)(context, part) != POLYGON {
                    continue;
                }
                let shell = (functions.shell)(context, part);
                if shell.is_null() {
                    return Err("GEOS: no shell".to_owned());
                }
                let mut holes = Vec::new();
                for index in 0..(functions.hole_count)(context, part) {
                    let hole = (functions.hole)(context, part, index);
                    if hole.is_null() {
                        return Err("GEOS: no hole".to_owned());
                    }
                    holes.push(library.vertices(hole)?);
                }
                let area = library.measured(part, functions.area)?;
                if area > 0.0 {
                    parts.push(Part {
                        area,
                        shell: library.vertices(shell)?,
                        holes,
                    });
                }
            }
            Ok(parts)
        }
    }
}

impl Library {
    fn measured(
        &self,
        geometry: RawConst,
        measure: unsafe extern "C" fn(Context, RawConst, *mut c_double) -> c_int,
    ) -> Result<f64, String> {
        let mut value = 0.0;
        // SAFETY: the caller holds the geometry; the value is ours.
        let said = unsafe { measure(self.context, geometry, &raw mut value) };
        if said == 0 {
            return Err("GEOS: no measure".to_owned());
        }
        Ok(value)
    }
}

impl Clone for Geometry<'_> {
    /// A copy of its own.
    fn clone(&self) -> Self {
        let library = self.library;
        // SAFETY: the geometry lives until the call is over.
        let raw = unsafe { (library.functions.clone)(library.context, self.raw()) };
        Self {
            // Copying fails only where memory is used up, as it would in Rust.
            raw: NonNull::new(raw).expect("memory for a copy"),
            library,
        }
    }
}

impl Drop for Geometry<'_> {
    fn drop(&mut self) {
        // SAFETY: it is ours, and nothing else holds it.
        unsafe { (self.library.functions.destroy)(self.library.context, self.raw.as_ptr()) }
    }
}
