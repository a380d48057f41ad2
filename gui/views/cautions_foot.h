// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

class QLabel;
class QPushButton;
class QScrollArea;

namespace spanwright::views {

/// The cautions, always in the foot of the window: the first ones and those of the sheet shown in words, as many as two or three lines hold but
/// never none, all of them by a button. They cannot be closed.
class CautionsFoot : public QWidget {
    Q_OBJECT

public:
    explicit CautionsFoot(QWidget* parent = nullptr);
    /// `first`: shown always; `all`: behind the button as well.
    void setCautions(const QStringList& first, const QStringList& all);
    [[nodiscard]] QString text() const;
    /// All of them in a box.
    void showAll();

protected:
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void fitFonts();
    void fit();
    QScrollArea* m_area;
    QLabel* m_words;
    QPushButton* m_more;
    QStringList m_first, m_all;
};

} // namespace spanwright::views
