// SPDX-License-Identifier: MIT
#include "gui/views/rich_words.h"

#include <QAbstractTextDocumentLayout>
#include <QLabel>
#include <QPainter>
#include <QTextDocument>

#include "engine/meaning/typeset.h"
#include "engine/report/words.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::views {

namespace {

using meaning::Box;

QString plainHtml(const std::string& text) { return models::fromUtf8(text).toHtmlEscaped().replace(QLatin1Char('\n'), QStringLiteral("<br/>")); }

QString symbolHtml(const Box& box) {
    switch (box.kind) {
    case Box::Kind::Name: return QStringLiteral("<i>%1</i>").arg(plainHtml(box.text));
    case Box::Kind::Sub: return QStringLiteral("%1<sub>%2</sub>").arg(symbolHtml(box.children[0]), symbolHtml(box.children[1]));
    case Box::Kind::Row: {
        QString out;
        for (const Box& child : box.children) out += symbolHtml(child);
        return out;
    }
    default: return plainHtml(box.text);
    }
}

void set(QTextDocument& document, const QFont& font, qreal width, const QString& written) {
    document.setDocumentMargin(0);
    document.setDefaultFont(font);
    document.setHtml(richWords(written));
    document.setTextWidth(width);
}

} // namespace

QString richWords(const QString& written) {
    QString out;
    for (const report::Inline& piece : report::namesMarked(models::toUtf8(written))) {
        const bool typed = piece.kind == report::Inline::Kind::Code;
        if (typed && models::isSymbol(piece.text))
            out += symbolHtml(meaning::typesetName(piece.text));
        else
            out += typed ? QStringLiteral("<i>%1</i>").arg(plainHtml(piece.text)) : plainHtml(piece.text);
    }
    return out;
}

void sayWords(QLabel& label, const QString& written) {
    const bool rich = written.contains(QLatin1Char('`'));
    label.setTextFormat(rich ? Qt::RichText : Qt::PlainText);
    label.setText(rich ? richWords(written) : written);
    label.setAccessibleName(rich ? models::wordsOf(models::toUtf8(written)) : QString());
    label.setVisible(!written.isEmpty());
}

qreal heightOfWords(const QFont& font, qreal width, const QString& written) {
    QTextDocument document;
    set(document, font, width, written);
    return document.size().height();
}

void drawWords(QPainter& painter, const QRectF& place, const QFont& font, const QColor& ink, const QString& written) {
    QTextDocument document;
    set(document, font, place.width(), written);
    painter.save();
    painter.translate(place.left(), place.center().y() - document.size().height() / 2);
    QAbstractTextDocumentLayout::PaintContext context;
    context.palette.setColor(QPalette::Text, ink);
    document.documentLayout()->draw(&painter, context);
    painter.restore();
}

} // namespace spanwright::views
