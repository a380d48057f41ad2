// SPDX-License-Identifier: MIT
#pragma once

#include <QFont>
#include <QHash>

#include <map>
#include <memory>
#include <utility>

#include "gui/ink/box_layout.h"
#include "gui/ink/palette.h"
#include "gui/models/grid_model.h"
#include "gui/views/editing_delegate.h"

namespace spanwright::views {

/// Paints the cells of the grid: headings, typeset symbols, values on dotted lines, utilisation rulers, boxed verdicts;
/// and opens the editors in them.
class GridDelegate : public EditingDelegate {
    Q_OBJECT

public:
    GridDelegate(models::GridModel& grid, models::JobSession& session, QObject* parent = nullptr);
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;

    [[nodiscard]] static int rowHeight(const QFont& font);
    /// How high a row must be so that its words in a column of that width are seen whole.
    [[nodiscard]] int heightOf(const QModelIndex& index, int width, const QFont& font) const;
    /// The row that is marked across symbol, name and unit; -1: none.
    void setCurrentRow(int row) { m_currentRow = row; }
    /// Drops symbols that were set before: the font is another.
    void forgetSymbols() { m_symbols.clear(); }
    /// How many words' heights have been measured for the width and font as they are now.
    [[nodiscard]] std::size_t measured() const { return m_heights.size(); }

protected:
    [[nodiscard]] CellEditor* editorFor(QWidget* parent, const QModelIndex& index) const override;
    [[nodiscard]] QString refusalAt(const QModelIndex& index) const override;
    void dropRefusalAt(const QModelIndex& index) override;

private:
    void paintHeading(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const;
    void paintRowHead(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const;
    void paintValue(QPainter& painter, const QRectF& place, const QFont& font, const QModelIndex& index, const ink::Palette& p) const;
    /// Tick and remark at the left of a cell; gives how wide they are.
    [[nodiscard]] qreal paintReview(QPainter& painter, const QRectF& place, const QFont& font, const QModelIndex& index, const ink::Palette& p) const;
    void paintCheck(QPainter& painter, const QRectF& place, const QFont& font, const QModelIndex& index, const ink::Palette& p) const;
    [[nodiscard]] const ink::BoxLayout& symbol(const QModelIndex& index, const QFont& font) const;

    models::GridModel& m_grid;
    models::JobSession& m_session;
    mutable QHash<QString, std::shared_ptr<ink::BoxLayout>> m_symbols;
    mutable std::map<std::pair<QString, QString>, int> m_heights; ///< by what it is and how it was rewritten
    mutable int m_heightsWidth = -1;
    mutable QFont m_heightsFont;
    int m_currentRow = -1;
};

} // namespace spanwright::views
