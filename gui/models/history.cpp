// SPDX-License-Identifier: MIT
#include "gui/models/history.h"

namespace spanwright::models {

void History::visit(const Spot& spot) {
    if (!m_spots.empty() && m_spots[m_at] == spot) return;
    if (!m_spots.empty()) m_spots.resize(m_at + 1);
    m_spots.push_back(spot);
    if (m_spots.size() > kMost) m_spots.erase(m_spots.begin());
    m_at = m_spots.size() - 1;
    Q_EMIT changed();
}

void History::standAt(const Spot& spot) {
    if (m_spots.empty())
        visit(spot);
    else
        m_spots[m_at] = spot;
}

Spot History::back() {
    --m_at;
    Q_EMIT changed();
    return m_spots[m_at];
}

Spot History::forward() {
    ++m_at;
    Q_EMIT changed();
    return m_spots[m_at];
}

void History::clear() {
    m_spots.clear();
    m_at = 0;
    Q_EMIT changed();
}

} // namespace spanwright::models
