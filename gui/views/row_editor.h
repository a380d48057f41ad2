// SPDX-License-Identifier: MIT
#pragma once

#include <QFrame>
#include <QTimer>

#include <optional>
#include <string>

#include "gui/models/job_session.h"

class QLabel;

namespace spanwright::editor {
class CompletingLine;
}

namespace spanwright::views {

/// A row of a sheet written or changed in its place in the grid: suggestions while typing, and what would be wrong
/// with it before it is put in. A row with something wrong is put in when Return is struck again, once that was seen;
/// what was typed stays.
class RowEditor : public QFrame {
    Q_OBJECT

public:
    struct Place {
        std::string file;
        std::uint32_t before = 0;
        std::optional<std::uint32_t> replaced;
    };
    RowEditor(models::JobSession& session, Place place, const QString& text, QWidget* parent);
    [[nodiscard]] editor::CompletingLine& line() { return *m_line; }
    [[nodiscard]] const Place& place() const { return m_place; }
    /// What is told of the row as it stands.
    [[nodiscard]] QString told() const;
    [[nodiscard]] QSize sizeHint() const override;

Q_SIGNALS:
    void put(const QString& text);
    void dropped();
    void grown();

private:
    /// True when nothing is wrong with it.
    bool tryIt();
    models::JobSession& m_session;
    Place m_place;
    editor::CompletingLine* m_line;
    QLabel* m_told;
    QTimer m_soon;
    QString m_seen; ///< the row that Return was struck on while something was wrong with it
};

} // namespace spanwright::views
