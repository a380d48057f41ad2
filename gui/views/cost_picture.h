// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/shop/workshop.h"

namespace spanwright::views {

/// What each member costs, as a box as long as its cost, parted by what it is paid for: every part has its own pencil strokes. A line from the
/// lowest to the highest prices stands under it. Of a line of the bill: who has what share of it.
class CostPicture : public QWidget {
    Q_OBJECT

public:
    explicit CostPicture(QWidget* parent = nullptr);
    /// `line`: of the bill; nothing: everything. `old`: of the job as it stood before an edit.
    void show(std::shared_ptr<const shop::Workshop> workshop, std::optional<std::size_t> line, bool old);
    void setMember(const std::string& mark);
    [[nodiscard]] std::size_t rows() const { return m_rows.size(); }
    [[nodiscard]] const std::string& markOf(std::size_t row) const { return m_rows[row].mark; }
    [[nodiscard]] QPoint middleOf(std::size_t row) const;
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

Q_SIGNALS:
    void followed(const QString& mark);
    void wanted(const QRect& place);

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void changeEvent(QEvent* event) override;
    bool event(QEvent* event) override;

private:
    /// What money is paid for, in the order of the box's parts.
    enum Part { Material, Rest, Consumables, Tools, Labour, Overhead, PartCount };
    struct Row {
        std::string mark;
        QString name, amount, words;
        shop::Cents parts[PartCount] = {};
        shop::Cents all = 0, low = 0, high = 0;
    };
    static QString partName(Part part);
    [[nodiscard]] int rowHeight() const;
    [[nodiscard]] int top() const;
    [[nodiscard]] std::optional<std::size_t> rowAt(QPoint at) const;
    void drawPart(QPainter& painter, const QRectF& box, Part part) const;
    void setCurrent(std::optional<std::size_t> row, bool seen);
    std::shared_ptr<const shop::Workshop> m_workshop;
    std::vector<Row> m_rows;
    QString m_title;
    std::string m_member;
    std::optional<std::size_t> m_current;
    bool m_used[PartCount] = {};
    bool m_ranged = false, m_old = false;
};

} // namespace spanwright::views
