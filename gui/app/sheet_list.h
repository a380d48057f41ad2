// SPDX-License-Identifier: MIT
#pragma once

#include <QToolButton>

class QTabBar;

namespace spanwright::app {

/// All sheets of a job in a menu, with their titles: where there are more than the tabs have room for, it stands beside them.
class SheetList : public QToolButton {
    Q_OBJECT

public:
    explicit SheetList(QTabBar& tabs, QWidget* parent = nullptr);
    /// Opens the menu, whether the button is seen or not.
    void open();

protected:
    bool eventFilter(QObject* object, QEvent* event) override;

private:
    void fill();
    void fit();
    QTabBar& m_tabs;
};

} // namespace spanwright::app
