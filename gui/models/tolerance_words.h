// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>

#include <optional>

#include "engine/trial/tolerance.h"
#include "gui/models/asking.h"

namespace spanwright::models {

/// Whether a check still passes when values are not held exactly: in words, from the tolerances that the member's own values and
/// those it reads state. Empty while it is out of date, and where no value has a tolerance.
class ToleranceWords : public QObject {
    Q_OBJECT

public:
    explicit ToleranceWords(JobSession& session, QObject* parent = nullptr);
    void showCell(std::optional<CellId> cell);
    [[nodiscard]] Asking& asking() { return m_asking; }
    /// Some value that it depends on has a tolerance: there is something to say, now or soon.
    [[nodiscard]] bool any() const { return m_any; }
    /// The check under all tolerances together, then each of them alone.
    [[nodiscard]] QStringList words() const;
    /// The trial that says the same in a report.
    [[nodiscard]] std::string pinned() const;

Q_SIGNALS:
    void changed();

private:
    JobSession& m_session;
    Asking m_asking;
    std::optional<CellId> m_cell;
    bool m_any = false;
    std::optional<trial::Tolerance> m_found;
    QString m_refused;
};

} // namespace spanwright::models
