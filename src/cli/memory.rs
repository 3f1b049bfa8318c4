//! Memory that is used again.

use std::hint::black_box;

/// Bytes of the block that the allocator learns from.
const LEARNT_FROM: usize = 8 << 20;

/// Lets the allocator keep the memory of one attempt for the next.
///
/// The draws of an attempt take some twenty megabytes. The allocator of the GNU C library gives freed memory back to
/// the system at once, and to get it again for the next attempt took a tenth of the time of a debrief. A large block
/// that is freed raises its thresholds: smaller ones come from the heap from then on, of which it keeps twice as much
/// (mallopt(3), "dynamic mmap threshold"). No byte of the block is touched. Other allocators take no notice.
pub(super) fn keep_what_is_freed() {
    drop(black_box(Vec::<u8>::with_capacity(LEARNT_FROM)));
}
