// SPDX-License-Identifier: MIT
#pragma once

#include <QFrame>
#include <QHash>
#include <QPersistentModelIndex>
#include <QPointer>
#include <QTableView>
#include <QTimer>
#include <QWidget>

#include <optional>

#include "gui/models/grid_model.h"
#include "gui/models/history.h"
#include "gui/views/list_editor.h"
#include "gui/views/row_editor.h"

class QSplitter;

namespace spanwright::views {

class CellEditor;
class GridDelegate;

/// The grid: symbol, what it is and unit stay in view at the left while the members' columns scroll.
class GridView : public QWidget {
    Q_OBJECT

public:
    GridView(models::GridModel& model, models::JobSession& session, QWidget* parent = nullptr);
    [[nodiscard]] QTableView& members() { return *m_members; }
    [[nodiscard]] QTableView& names() { return *m_names; }
    [[nodiscard]] QModelIndex current() const { return m_members->currentIndex(); }
    [[nodiscard]] std::optional<models::CellId> currentCell() const;
    /// Shows a cell, whatever hides it now; false when there is no such row.
    bool goTo(models::CellId cell);
    /// Opens the editor of the current cell.
    void editCurrent();
    void toggleCurrent();
    /// Opens a row of the sheet to be written: in the place of a row of the grid, or below it.
    RowEditor* editRow(RowEditor* editor, int row, bool below);
    [[nodiscard]] RowEditor* rowEditor() const { return m_rowEditor; }
    /// A row of that file that was being written when the rows became others; it is given once.
    [[nodiscard]] QString takeKeptRow(const std::string& file);
    /// Opens the rows of a list below its cell, to be edited there; they stay until Escape.
    ListEditor* editList(models::CellId cell);
    [[nodiscard]] ListEditor* listEditor() const { return m_listEditor; }
    /// Takes what is being typed in a cell or a field of a list, as if the person went on.
    void takeTyped();
    void closeList();

Q_SIGNALS:
    /// Return or a double click on a list: its rows are wanted.
    void listWanted(spanwright::models::CellId cell);
    void currentChanged();
    /// A row was being written when the rows became others: it is kept.
    void rowKept();
    /// What was refused in the editor is being mended.
    void retyped();
    void contextMenuWanted(const QPoint& globalPosition);

protected:
    bool eventFilter(QObject* object, QEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void fit();
    void fitNames();
    /// Gives the names their part of the width, until the person moves the handle.
    void share();
    void keepPlace();
    void standAfterRelay(bool byFilter);
    void currentMoved(const QModelIndex& now);
    void placeRowEditor(int row, bool below);
    void placeList();
    /// Rows whose words need more than a line or two are as high as they need.
    void fitHeights(int first, int last);
    void fitAllHeights();
    /// The editor that is open in a cell.
    [[nodiscard]] CellEditor* cellEditor() const;
    void goOnTyping();
    [[nodiscard]] bool wantList(const QModelIndex& at);
    models::GridModel& m_model;
    models::JobSession& m_session;
    QSplitter* m_split;
    bool m_sharedByHand = false;
    QTableView* m_names;
    QTableView* m_members;
    GridDelegate *m_namesDelegate, *m_delegate;
    QWidget* m_room;                     ///< below the names, as high as the members' scroll bar
    std::optional<models::Spot> m_place; ///< by mark and name, so that it outlives a reset
    QHash<QString, int> m_widths;        ///< of members' columns by mark, over a reset
    int m_usualWidth = 0;                ///< of a member's column that nobody has made another
    int m_row = 0;
    QPersistentModelIndex m_stood; ///< while rows come and go: what was selected
    bool m_relaying = false;
    bool m_displaced = false; ///< what is selected stands for m_place, which is hidden
    struct Kept {
        models::Spot spot;
        QString typed;
    };
    std::optional<Kept> m_kept; ///< while the model is reset: what was being typed
    QPointer<RowEditor> m_rowEditor;
    std::string m_keptFile;
    QString m_keptRow;
    QPointer<QFrame> m_listFrame; ///< around m_listEditor
    QPointer<ListEditor> m_listEditor;
    QTimer m_heightsSoon, m_shrunkSoon;
};

} // namespace spanwright::views
