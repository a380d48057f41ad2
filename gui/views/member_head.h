// SPDX-License-Identifier: MIT
#pragma once

#include <QHeaderView>

namespace spanwright::views {

/// The heads of the members' columns: mark, count, purpose, and the verdict as a boxed word.
class MemberHead : public QHeaderView {
    Q_OBJECT

public:
    explicit MemberHead(QWidget* parent = nullptr);
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void paintSection(QPainter* painter, const QRect& rect, int section) const override;
};

} // namespace spanwright::views
