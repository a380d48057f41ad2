// SPDX-License-Identifier: MIT
#pragma once

#include <QDockWidget>

class QLabel;

namespace spanwright::app {

/// The head of a dock: its name, and a button that closes it. Unlike the style's own it grows with the letters.
class DockTitle : public QWidget {
    Q_OBJECT

public:
    explicit DockTitle(QDockWidget* dock);

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QLabel* m_name;
};

} // namespace spanwright::app
