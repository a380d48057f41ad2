// SPDX-License-Identifier: MIT
#pragma once

#include <QRectF>
#include <QSizeF>
#include <QString>

#include <functional>
#include <map>
#include <mutex>
#include <string>
#include <vector>

#include "engine/report/document.h"
#include "gui/paper/page_format.h"
#include "gui/paper/strip.h"
#include "gui/paper/types.h"

class QPainter;

namespace spanwright::paper {

/// A document set on pages: the PDF, the printer and the preview paint the same ones. Sections begin on new pages; a head
/// line repeats job, member's mark and editions, a foot line the fingerprint and "page n of N"; headings stay with
/// what follows, rows are not broken, tables that go on repeat their heads.
class PageBook {
public:
    /// `goOn` is asked before each section, with sections set and sections in all; false gives up, and the pages are then worth nothing.
    using GoOn = std::function<bool(std::size_t done, std::size_t total)>;
    PageBook(const report::Document& document, const PageFormat& format, const GoOn& goOn = {});

    [[nodiscard]] int pageCount() const { return static_cast<int>(m_pages.size()); }
    [[nodiscard]] const PageFormat& format() const { return m_format; }
    /// Paints one page, the first being 0, with the paper's upper left corner at the painter's origin; kPerPoint units a point. Several threads
    /// may paint from the same pages, each on a painter of its own: one waits while another is at a page.
    void paint(QPainter& painter, int page) const;
    /// The page of an id, the first being 1; 0 where there is none.
    [[nodiscard]] int pageOf(const std::string& id) const;
    /// Where something stands: the first page is 1; `top` is the distance from the paper's upper edge.
    struct Place {
        int page = 0;
        qreal top = 0;
    };
    /// A place on a page from which one is led to another.
    struct Link {
        QRectF from;
        Place to;
    };
    [[nodiscard]] std::vector<Link> links(int page) const;
    /// Headings in their order; what is deeper belongs to the last one before it that is less deep.
    struct Bookmark {
        int depth = 0;
        QString text;
        Place to;
    };
    [[nodiscard]] const std::vector<Bookmark>& bookmarks() const { return m_bookmarks; }
    /// Everything on a page, where it stands on the paper.
    [[nodiscard]] std::vector<Mark> marks(int page) const;
    /// The member's mark on a page; empty on general ones.
    [[nodiscard]] const std::string& memberOn(int page) const { return m_pages[static_cast<std::size_t>(page)].mark; }
    [[nodiscard]] const QString& title() const { return m_title; }
    /// What the file says about itself besides; empty where nothing is stated.
    struct About {
        QString author, subject, date;
    };
    [[nodiscard]] const About& about() const { return m_about; }

private:
    struct Page {
        std::string mark;
        std::vector<Mark> furniture;
        std::vector<std::pair<Strip, qreal>> strips; ///< with their tops
    };
    PageFormat m_format;
    Types m_types;
    QString m_title;
    std::vector<Page> m_pages;
    std::map<std::string, Place> m_places;
    std::vector<Bookmark> m_bookmarks;
    About m_about;
    mutable std::mutex m_painting; ///< fonts look their shapes up anew on each thread, which two at a time must not do

    /// The head line, and under it the columns' names: gives its height.
    [[nodiscard]] Strip headOf(const report::Document& d, const report::Section& s);
    void fill(const report::Section& s, Strips strips, const Strip& head);
    void foot(const report::Document& d);
};

} // namespace spanwright::paper
