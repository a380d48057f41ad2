// SPDX-License-Identifier: MIT
#pragma once

#include <QStringList>
#include <QTableWidget>
#include <QTimer>

namespace spanwright::views {

/// A table of rows that are read, chosen and copied, never typed into. Copies its rows as tab-separated text with the platform's key while it has
/// the focus, before the window takes that key.
class RowTable : public QTableWidget {
    Q_OBJECT

public:
    /// `wide`: the column whose long texts are not shown whole, but for who makes it wider.
    RowTable(const QStringList& heads, int wide, QWidget* parent);
    /// Puts a text into a cell, which is made if it is not there.
    QTableWidgetItem& put(int row, int column, const QString& text);
    /// Once as wide as what is in them, then only wider: nothing that has grown is cut, and nobody's own widths are made less.
    void fit();
    /// Rows with the heads: those that are selected, or all.
    [[nodiscard]] QString tabText(bool all) const;
    void copy(bool all) const;

Q_SIGNALS:
    /// By a click or by the key that activates.
    void chosen(int row);
    /// Letters or colours are others: whoever filled it fills it again.
    void looksChanged();

protected:
    bool event(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void paintSelection();
    int m_wide;
    bool m_fitted = false;
    QTimer m_looksSoon;
};

} // namespace spanwright::views
