//! Links the core with nothing beneath it. Compiled by `cargo xtask test bare`, never by cargo.
#![no_std]

use wholestep as _;

#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {}
}

/// A heap that is always full: enough to link with, and nothing runs.
#[cfg(heap)]
mod heap {
    use core::alloc::{GlobalAlloc, Layout};

    struct Full;

    unsafe impl GlobalAlloc for Full {
        unsafe fn alloc(&self, _: Layout) -> *mut u8 {
            core::ptr::null_mut()
        }
        unsafe fn dealloc(&self, _: *mut u8, _: Layout) {}
    }

    #[global_allocator]
    static HEAP: Full = Full;
}
