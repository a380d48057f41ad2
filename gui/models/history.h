// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>

#include <cstddef>
#include <string>
#include <vector>

namespace spanwright::models {

/// Where somebody looked: by mark and name, so that it outlives edits.
struct Spot {
    std::string mark, name;
    friend bool operator==(const Spot&, const Spot&) = default;
};

/// Places looked at, to go back and forward through. Visiting from the middle forgets what lay ahead.
class History : public QObject {
    Q_OBJECT

public:
    using QObject::QObject;
    void visit(const Spot& spot);
    /// Moved about by hand: the entry that is current becomes this one.
    void standAt(const Spot& spot);
    [[nodiscard]] bool canGoBack() const { return m_at > 0; }
    [[nodiscard]] bool canGoForward() const { return m_at + 1 < m_spots.size(); }
    /// Only when it can.
    Spot back();
    Spot forward();
    void clear();

Q_SIGNALS:
    void changed();

private:
    static constexpr std::size_t kMost = 500;
    std::vector<Spot> m_spots;
    std::size_t m_at = 0;
};

} // namespace spanwright::models
