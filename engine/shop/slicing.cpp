// SPDX-License-Identifier: MIT
#include "engine/shop/slicing.h"

#include <algorithm>

namespace spanwright::shop {

Slicing::Slicing(std::int64_t width, std::int64_t height, std::int64_t narrowest, std::int64_t lowest) : m_narrowest(narrowest), m_lowest(lowest) {
    listFree(make(Kind::Free, width, height, -1));
    measure();
}

std::int32_t Slicing::make(Kind kind, std::int64_t width, std::int64_t height, std::int32_t parent) {
    std::int32_t n = 0;
    if (m_spare.empty()) {
        n = static_cast<std::int32_t>(m_nodes.size());
        m_nodes.emplace_back();
    } else {
        n = m_spare.back();
        m_spare.pop_back();
    }
    node(n) = {width, height, parent, -1, -1, -1, kind, false};
    return n;
}

void Slicing::drop(std::int32_t n) {
    if (node(n).kind == Kind::Free) forgetFree(n);
    node(n).kind = Kind::Unused;
    m_spare.push_back(n);
}

void Slicing::forgetFree(std::int32_t n) {
    const auto it = std::find_if(m_frees.begin(), m_frees.end(), [&](const Spot& s) { return s.node == n; });
    if (it == m_frees.end()) return;
    *it = m_frees.back();
    m_frees.pop_back();
}

void Slicing::listFree(std::int32_t n) {
    if (at(n).width >= m_narrowest && at(n).height >= m_lowest) m_frees.push_back({at(n).width, at(n).height, n});
}

void Slicing::link(std::int32_t parent, std::int32_t n) {
    node(n).parent = parent;
    node(n).next = node(parent).child;
    node(parent).child = n;
}

void Slicing::unlink(std::int32_t n) {
    const std::int32_t parent = node(n).parent;
    std::int32_t* link = &node(parent).child;
    while (*link != n) link = &node(*link).next;
    *link = node(n).next;
}

void Slicing::measure() {
    m_widest = m_highest = 0;
    for (const Spot& f : m_frees) {
        m_widest = std::max(m_widest, f.width);
        m_highest = std::max(m_highest, f.height);
    }
}

std::int32_t Slicing::rowOf(std::int32_t& free, bool alongX) {
    const std::int32_t list = node(free).parent;
    if (list >= 0 && node(list).alongX == alongX) return list;
    // The place itself becomes a row, and what was free the first in it.
    const std::int32_t row = free;
    node(row).kind = Kind::SideBySide;
    node(row).alongX = alongX;
    node(row).child = -1;
    free = make(Kind::Free, node(row).width, node(row).height, row);
    link(row, free);
    return row;
}

void Slicing::place(std::int32_t free, std::int32_t item, std::int64_t width, std::int64_t height, bool alongX) {
    ++m_items;
    const std::int64_t freeWidth = node(free).width;
    const std::int64_t freeHeight = node(free).height;
    if (alongX ? width == freeWidth : height == freeHeight) alongX = !alongX;
    if (width == freeWidth && height == freeHeight) {
        forgetFree(free);
        node(free).kind = Kind::Item;
        node(free).item = item;
        measure();
        return;
    }
    forgetFree(free);
    // The first cut takes a block off the free place, as wide (along x) or as high as the item.
    const std::int64_t blockWidth = alongX ? width : freeWidth;
    const std::int64_t blockHeight = alongX ? freeHeight : height;
    const std::int32_t list = rowOf(free, alongX);
    const std::int32_t block = make(Kind::Item, blockWidth, blockHeight, list);
    link(list, block);
    if (alongX) {
        node(free).width -= blockWidth;
    } else {
        node(free).height -= blockHeight;
    }
    if (node(free).width == 0 || node(free).height == 0) {
        unlink(free);
        node(free).kind = Kind::Unused;
        m_spare.push_back(free);
    } else {
        listFree(free);
    }
    if (width == blockWidth && height == blockHeight) {
        node(block).item = item;
    } else {
        node(block).kind = Kind::SideBySide;
        node(block).alongX = !alongX;
        const std::int32_t rest = make(Kind::Free, alongX ? width : freeWidth - width, alongX ? freeHeight - height : height, block);
        link(block, rest);
        listFree(rest);
        const std::int32_t leaf = make(Kind::Item, width, height, block);
        link(block, leaf);
        node(leaf).item = item;
    }
    measure();
}

std::pair<std::int32_t, std::int32_t> Slicing::cut(std::int32_t free, std::int64_t size, bool alongX) {
    const std::int64_t freeWidth = node(free).width;
    const std::int64_t freeHeight = node(free).height;
    forgetFree(free);
    const std::int32_t list = rowOf(free, alongX);
    const std::int32_t part = make(Kind::Free, alongX ? size : freeWidth, alongX ? freeHeight : size, list);
    link(list, part);
    (alongX ? node(free).width : node(free).height) -= size;
    listFree(part);
    listFree(free);
    measure();
    return {part, free};
}

void Slicing::collect(std::int32_t n, std::vector<std::int32_t>& out) {
    if (node(n).kind == Kind::Item) {
        out.push_back(node(n).item);
        --m_items;
    }
    if (node(n).kind == Kind::SideBySide) {
        for (std::int32_t c = node(n).child; c >= 0;) {
            const std::int32_t next = node(c).next;
            collect(c, out);
            drop(c);
            c = next;
        }
    }
}

void Slicing::remove(std::int32_t n, std::vector<std::int32_t>& out) {
    collect(n, out);
    if (node(n).kind == Kind::Free) return;
    becomeFree(n);
    measure();
}

void Slicing::becomeFree(std::int32_t n) {
    while (true) {
        Node& self = node(n);
        self.kind = Kind::Free;
        self.child = -1;
        self.item = -1;
        const std::int32_t parent = self.parent;
        if (parent < 0) break;
        std::int32_t other = node(parent).child;
        while (other >= 0 && (other == n || node(other).kind != Kind::Free)) other = node(other).next;
        if (other >= 0) {
            // Two free neighbours are one.
            if (node(parent).alongX) {
                self.width += node(other).width;
            } else {
                self.height += node(other).height;
            }
            unlink(other);
            drop(other);
        }
        if (node(parent).child != n || node(n).next >= 0) break;
        unlink(n);
        node(n).kind = Kind::Unused;
        m_spare.push_back(n);
        n = parent;
    }
    listFree(n);
}

} // namespace spanwright::shop
