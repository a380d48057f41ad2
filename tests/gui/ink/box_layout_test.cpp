// SPDX-License-Identifier: MIT
#include <QApplication>
#include <QImage>
#include <QPainter>
#include <QTest>

#include "engine/meaning/typeset.h"
#include "gui/ink/box_layout.h"
#include "gui/ink/palette.h"
#include "gui/ink/stamp.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using ink::BoxLayout;
using ink::Stamp;
using meaning::Box;

namespace {

Box name(const char* t) { return {Box::Kind::Name, t, {}}; }
Box number(const char* t) { return {Box::Kind::Number, t, {}}; }
Box op(const char* t) { return {Box::Kind::Operator, t, {}}; }
Box of(Box::Kind kind, std::vector<Box> children, const char* text = "") { return {kind, text, std::move(children)}; }
QSizeF size(const Box& b) { return BoxLayout(b, QApplication::font()).size(); }

/// Black on white, one pixel of room at each side.
QImage drawn(const Box& b) {
    const BoxLayout l(b, QApplication::font());
    QImage image(static_cast<int>(l.size().width()) + 12, static_cast<int>(l.size().height()) + 12, QImage::Format_Grayscale8);
    image.fill(Qt::white);
    QPainter p(&image);
    l.draw(p, QPointF(6, 6), Qt::black, Qt::gray);
    return image;
}

int inkIn(const QImage& image, const QRect& where) {
    int n = 0;
    for (int y = where.top(); y <= where.bottom(); ++y)
        for (int x = where.left(); x <= where.right(); ++x)
            if (image.valid(x, y) && qGray(image.pixel(x, y)) < 128) ++n;
    return n;
}

QImage stamped(Stamp stamp) {
    QImage image(160, 40, QImage::Format_Grayscale8);
    image.fill(Qt::white);
    QPainter p(&image);
    ink::drawStamp(p, QRectF(0, 0, 158, 40), QApplication::font(), QStringLiteral("WORD"), stamp, ink::lightPalette());
    return image;
}

} // namespace

class BoxLayoutTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void fractionsStandAboveOneAnother() {
        const Box a = name("a"), b = name("b");
        const Box fraction = of(Box::Kind::Fraction, {a, b});
        QVERIFY(size(fraction).height() > size(a).height() * 1.8);
        QVERIFY(size(fraction).width() < size(a).width() * 2.5);
        // A line in the middle: the row of pixels with most ink.
        const QImage image = drawn(fraction);
        int best = 0, most = 0;
        for (int y = 0; y < image.height(); ++y)
            if (const int n = inkIn(image, QRect(0, y, image.width(), 1)); n > most) {
                most = n;
                best = y;
            }
        QVERIFY(best > image.height() / 4 && best < image.height() * 3 / 4);
    }

    void scriptsAreSmallerAndRaisedOrLowered() {
        const Box base = name("L"), two = number("2");
        const Box super = of(Box::Kind::Super, {base, two}), sub = of(Box::Kind::Sub, {base, two});
        QVERIFY(size(super).width() < size(base).width() + size(two).width());
        QVERIFY(size(super).height() > size(base).height());
        const BoxLayout up(super, QApplication::font()), down(sub, QApplication::font()), plain(base, QApplication::font());
        QVERIFY(up.ascent() > plain.ascent());
        QVERIFY(down.size().height() - down.ascent() > plain.size().height() - plain.ascent());
    }

    void everyKindIsDrawnWithinItsSize() {
        const Box a = name("σ"), b = number("12.5");
        const std::vector<Box> all = {of(Box::Kind::Row, {a, op("="), b, Box{Box::Kind::Unit, "kN·m", {}}}),
                                      of(Box::Kind::Fraction, {a, b}),
                                      of(Box::Kind::Root, {a}),
                                      of(Box::Kind::Root, {a, number("3")}),
                                      of(Box::Kind::Fence, {of(Box::Kind::Fraction, {a, b})}, "("),
                                      of(Box::Kind::Fence, {a}, "|"),
                                      of(Box::Kind::Cases, {a, b, b, Box{Box::Kind::Word, "otherwise", {}}}),
                                      of(Box::Kind::Big, {number("0"), name("L"), a}, "∫"),
                                      of(Box::Kind::Big, {name("x"), Box{}, a}, "max"),
                                      of(Box::Kind::Gray, {a}),
                                      of(Box::Kind::Sub, {a, b}),
                                      of(Box::Kind::Super, {a, b})};
        for (const Box& box : all) {
            const QImage image = drawn(box);
            QVERIFY2(inkIn(image, image.rect()) > 5 || box.kind == Box::Kind::Gray, qPrintable(QString::number(static_cast<int>(box.kind))));
            const int w = image.width(), h = image.height();
            const int outside =
                inkIn(image, QRect(0, 0, w, 2)) + inkIn(image, QRect(0, h - 2, w, 2)) + inkIn(image, QRect(0, 0, 2, h)) + inkIn(image, QRect(w - 2, 0, 2, h));
            QVERIFY2(outside == 0, qPrintable(QString::number(static_cast<int>(box.kind))));
        }
    }

    void longRowsGoOnInTheNextLine() {
        Box row = of(Box::Kind::Row, {});
        for (int i = 0; i < 30; ++i) {
            if (i > 0) row.children.push_back(op("+"));
            row.children.push_back(of(Box::Kind::Sub, {name("M"), number("12")}));
        }
        const BoxLayout broken(row, QApplication::font(), 300);
        QVERIFY(broken.size().width() <= 320);
        QVERIFY(broken.size().height() > size(row).height() * 2);
    }

    void largerFontLargerFormula() {
        QFont large = QApplication::font();
        large.setPointSizeF(large.pointSizeF() * 2);
        const Box f = of(Box::Kind::Fraction, {name("a"), name("b")});
        const QSizeF two = BoxLayout(f, large).size();
        QVERIFY(two.height() > size(f).height() * 1.7 && two.height() < size(f).height() * 2.3);
    }

    void stampsDifferWithoutColour() {
        const QImage ok = stamped(Stamp::Ok), fails = stamped(Stamp::Fails), proven = stamped(Stamp::NotProven), computed = stamped(Stamp::NotComputed),
                     none = stamped(Stamp::None);
        QVERIFY(ok != fails && ok != proven && ok != computed && fails != proven && fails != computed && proven != computed && none != ok);
        // FAILS has the most ink.
        for (const QImage& other : {ok, proven, computed, none}) QVERIFY(inkIn(fails, fails.rect()) > inkIn(other, other.rect()));
    }

    void rulerIsAsLongAsTheUtilisation() {
        const auto ruler = [](double u) {
            QImage image(100, 12, QImage::Format_Grayscale8);
            image.fill(Qt::white);
            QPainter p(&image);
            ink::drawRuler(p, QRectF(0, 0, 100, 12), u, ink::lightPalette());
            return inkIn(image, image.rect());
        };
        QVERIFY(ruler(0.2) < ruler(0.5) && ruler(0.5) < ruler(0.9) && ruler(0.9) < ruler(1.3));
    }
};

SPANWRIGHT_QT_TEST(BoxLayoutTest);
#include "box_layout_test.moc"
