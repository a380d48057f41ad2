// SPDX-License-Identifier: MIT
#include "engine/base/large_pages.h"

#include <cstdint>
#include <cstdlib>

#if defined(__linux__) && defined(__GLIBC__)
#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>
#endif

namespace spanwright::base {

bool useLargePages() {
#if defined(__linux__) && defined(__GLIBC__) && defined(MADV_HUGEPAGE)
    constexpr std::size_t kRoom = std::size_t{512} << 20U; // more than a job of a whole house takes
    constexpr std::size_t kPage = std::size_t{2} << 20U;
    constexpr int kByItself = 32 << 20; // larger blocks are mapped by themselves; the library takes no larger number
    constexpr int kUsualStep = 1 << 20;
    if (sizeof(void*) < 8) return false;
    const auto end = [] { return reinterpret_cast<std::uintptr_t>(sbrk(0)); };
    const std::uintptr_t before = end();
    // One heap for all threads: a job is opened by one of them and looked at by another.
    if (mallopt(M_ARENA_MAX, 1) == 0 || mallopt(M_MMAP_THRESHOLD, kByItself) == 0 || mallopt(M_TRIM_THRESHOLD, static_cast<int>(2 * kRoom - 1)) == 0 ||
        mallopt(M_TOP_PAD, static_cast<int>(kRoom)) == 0)
        return false;
    // The heap grows once, by all of it. (Volatile: compilers leave out a block that is only freed.)
    void* volatile block = std::malloc(static_cast<std::size_t>(kByItself) / 2);
    std::free(block);
    // Where so much address space is not to be had the heap must go on growing by little; beyond the stretch it does so as well.
    mallopt(M_TOP_PAD, kUsualStep);
    const std::uintptr_t from = (before + kPage - 1) / kPage * kPage, to = end();
    return to > from && to - from >= kRoom / 2 && madvise(reinterpret_cast<void*>(from), to - from, MADV_HUGEPAGE) == 0;
#else
    return false;
#endif
}

} // namespace spanwright::base
