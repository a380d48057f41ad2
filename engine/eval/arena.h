// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstddef>
#include <memory>
#include <vector>

namespace spanwright::eval {

/// Scratch doubles for nested evaluations, given back in reverse order. Addresses stay.
class Arena {
public:
    double* take(std::size_t n) {
        while (m_chunk < m_chunks.size() && m_used + n > m_chunks[m_chunk].size) {
            ++m_chunk;
            m_used = 0;
        }
        if (m_chunk == m_chunks.size()) {
            const std::size_t size = std::max(n, kChunk);
            m_chunks.push_back({std::make_unique<double[]>(size), size});
            m_used = 0;
        }
        double* at = m_chunks[m_chunk].data.get() + m_used;
        m_used += n;
        return at;
    }

    /// Gives back everything taken since it was made.
    class Mark {
    public:
        explicit Mark(Arena& arena) : m_arena(arena), m_chunk(arena.m_chunk), m_used(arena.m_used) {}
        Mark(const Mark&) = delete;
        Mark& operator=(const Mark&) = delete;
        ~Mark() {
            m_arena.m_chunk = m_chunk;
            m_arena.m_used = m_used;
        }

    private:
        Arena& m_arena;
        std::size_t m_chunk, m_used;
    };

private:
    static constexpr std::size_t kChunk = 32 * 1024;
    struct Chunk {
        std::unique_ptr<double[]> data;
        std::size_t size = 0;
    };
    std::vector<Chunk> m_chunks;
    std::size_t m_chunk = 0, m_used = 0;
};

} // namespace spanwright::eval
