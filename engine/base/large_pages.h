// SPDX-License-Identifier: MIT
#pragma once

namespace spanwright::base {

/// Takes the memory of the program from one stretch that the system maps in large pages (Linux, GNU C library; elsewhere nothing happens). A sheet's
/// values lie all over the heap: in pages of 4 KiB looking a page up can cost more than the work on it, in a virtual machine many times more.
/// First thing in main(), once. The stretch is address space: what is not used takes no memory; what does not fit comes as it always did.
/// False: the system would not.
bool useLargePages();

} // namespace spanwright::base
