// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <optional>

#include "engine/trial/reach.h"

namespace spanwright::views {

/// How far a value can go, as a bar: what does not pass is hatched, a stroke marks the present value. Out of date it is drawn
/// in soft pencil with nothing that could be taken for an answer.
class FarBar : public QWidget {
    Q_OBJECT

public:
    explicit FarBar(QWidget* parent = nullptr);
    void show(const trial::Far& far, bool holds);
    void showNothing();
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return {100, sizeHint().height()}; }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    std::optional<trial::Far> m_far;
    bool m_holds = false;
};

} // namespace spanwright::views
