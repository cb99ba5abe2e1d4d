package org.hosewright.app

/** What was read out to a screen reader: a page that is rebuilt with the same words says nothing. */
class Told {
    private var before = emptySet<String>()
    private var now = mutableSetOf<String>()

    /** The page is rebuilt. */
    fun begin() {
        before = now
        now = mutableSetOf()
    }

    /** Whether these words were not on the page as it was built before. */
    fun isNew(words: String): Boolean {
        now.add(words)
        return words !in before
    }
}
