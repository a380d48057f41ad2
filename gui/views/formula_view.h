// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <vector>

#include "engine/meaning/typeset.h"
#include "gui/ink/box_layout.h"

namespace spanwright::views {

/// Formulas below one another, set in two dimensions; longer ones go on in the next line.
class FormulaView : public QWidget {
    Q_OBJECT

public:
    explicit FormulaView(QWidget* parent = nullptr);
    /// Each box a line; `said` reads the whole to somebody who does not see it.
    void setLines(std::vector<meaning::Box> lines, const QString& said);
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return {120, 20}; }

protected:
    void paintEvent(QPaintEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void lay(int width) const;
    std::vector<meaning::Box> m_lines;
    mutable std::vector<ink::BoxLayout> m_laid;
    mutable int m_width = -1;
};

} // namespace spanwright::views
