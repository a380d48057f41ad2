// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

namespace spanwright::shop {

/// How one panel is sliced: a tree whose inner nodes lie side by side along x or along y, and whose leaves are items or
/// free. Order within a node does not matter, so a node has one free child at most. No kerfs here.
class Slicing {
public:
    enum class Kind : std::uint8_t { Free, Item, SideBySide, Unused };
    struct Node {
        std::int64_t width = 0;
        std::int64_t height = 0;
        std::int32_t parent = -1;
        std::int32_t child = -1; ///< first child
        std::int32_t next = -1;  ///< next child of the same parent
        std::int32_t item = -1;
        Kind kind = Kind::Unused;
        bool alongX = false; ///< SideBySide: children follow one another along x
    };

    struct Spot {
        std::int64_t width = 0;
        std::int64_t height = 0;
        std::int32_t node = -1;
    };

    /// Free leaves narrower or lower than what is stated are of no use to anything and are not listed.
    Slicing(std::int64_t width, std::int64_t height, std::int64_t narrowest, std::int64_t lowest);

    [[nodiscard]] const std::vector<Node>& nodes() const { return m_nodes; }
    [[nodiscard]] const Node& at(std::int32_t n) const { return m_nodes[static_cast<std::size_t>(n)]; }
    [[nodiscard]] const std::vector<Spot>& frees() const { return m_frees; } ///< those of use
    [[nodiscard]] std::int64_t itemCount() const { return m_items; }
    [[nodiscard]] bool empty() const { return m_items == 0; }

    /// Puts an item into a free leaf that it fits; sawn along x first (the upright cut) or along y first.
    void place(std::int32_t free, std::int32_t item, std::int64_t width, std::int64_t height, bool alongXFirst);

    /// Saws a free leaf in two free ones, `size` along x (or along y) off it; gives both, the first part first. Unless one
    /// of them is filled before the next removal, they stay apart.
    [[nodiscard]] std::pair<std::int32_t, std::int32_t> cut(std::int32_t free, std::int64_t size, bool alongX);

    /// Frees the place of a node and of all below it; their items are appended to `out`.
    void remove(std::int32_t node, std::vector<std::int32_t>& out);

    /// A bound on the largest width and height of any free leaf, quickly.
    [[nodiscard]] std::int64_t widestFree() const { return m_widest; }
    [[nodiscard]] std::int64_t highestFree() const { return m_highest; }

private:
    [[nodiscard]] Node& node(std::int32_t n) { return m_nodes[static_cast<std::size_t>(n)]; }
    std::int32_t make(Kind kind, std::int64_t width, std::int64_t height, std::int32_t parent);
    void drop(std::int32_t n);
    void unlink(std::int32_t n);
    void link(std::int32_t parent, std::int32_t n);
    void becomeFree(std::int32_t n);
    void listFree(std::int32_t n);
    void forgetFree(std::int32_t n);
    void collect(std::int32_t n, std::vector<std::int32_t>& out);
    void measure();
    /// The row along x (or across it) that a free place stands in; a place that stands in none becomes one, and `free` the first in it.
    [[nodiscard]] std::int32_t rowOf(std::int32_t& free, bool alongX);

    std::vector<Node> m_nodes;
    std::vector<Spot> m_frees;
    std::int64_t m_narrowest = 0;
    std::int64_t m_lowest = 0;
    std::vector<std::int32_t> m_spare;
    std::int64_t m_items = 0;
    std::int64_t m_widest = 0;
    std::int64_t m_highest = 0;
};

} // namespace spanwright::shop
