// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <optional>

#include "gui/ink/stamp.h"

namespace spanwright::views {

/// A verdict on a page: the boxed word, and before it, if there is one, the utilisation with its ruler.
class StampLabel : public QWidget {
    Q_OBJECT

public:
    explicit StampLabel(QWidget* parent = nullptr);
    void show(ink::Stamp stamp, const QString& word, std::optional<double> utilisation);
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    ink::Stamp m_stamp = ink::Stamp::None;
    QString m_word, m_number;
    std::optional<double> m_utilisation;
};

} // namespace spanwright::views
