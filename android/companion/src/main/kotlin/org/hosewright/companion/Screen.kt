package org.hosewright.companion

import org.hosewright.core.LogbookInterface
import org.hosewright.core.Moment

/**
 * What a screen shows, and what it asks. Used on the thread of screens alone.
 *
 * A screen keeps nothing that the core does not have on disk: turned, or killed
 * and started again, it asks again with the same few words that name it.
 */
abstract class Screen<S : Any>(private val desk: Desk) {
    /** What is shown; none until the first answer. */
    var shown: S? = null
        protected set

    /** What blocked the last question. */
    var trouble: Trouble? = null
        protected set

    /** How many questions are not answered yet. */
    var asking: Int = 0
        private set

    /** Called when something of the above is another. */
    var onChange: () -> Unit = {}

    private var left = false
    private var again: (() -> Unit)? = null

    /** Asks, and shows what comes of it; what was shown before stays until then. */
    protected fun <T> ask(
        question: (LogbookInterface, Moment) -> T,
        refused: (Trouble) -> Unit = {},
        then: (T) -> Unit,
    ) {
        again = { ask(question, refused, then) }
        waitFor({ told -> desk.ask(question, told) }, refused, then)
    }

    /** Does something that blocks and needs no record, and shows what comes of it. */
    protected fun <T> beside(work: () -> T, then: (T) -> Unit) = waitFor({ told -> desk.beside(work, told) }, {}, then)

    /** Does what needs the desk itself, and shows what comes of it. */
    protected fun <T> repair(begin: ((Outcome<T>) -> Unit) -> Unit, then: (T) -> Unit) {
        again = { repair(begin, then) }
        waitFor(begin, {}, then)
    }

    private fun <T> waitFor(begin: ((Outcome<T>) -> Unit) -> Unit, refused: (Trouble) -> Unit, then: (T) -> Unit) {
        asking += 1
        onChange()
        begin told@{ outcome ->
            if (left) return@told
            asking -= 1
            when (outcome) {
                is Outcome.Told -> {
                    trouble = null
                    then(outcome.value)
                }
                is Outcome.Refused -> {
                    trouble = outcome.trouble
                    refused(outcome.trouble)
                }
            }
            onChange()
        }
    }

    /** Asks the last question again: the way on from what passes by itself. */
    open fun tryAgain() {
        again?.invoke()
    }

    /** Puts away what blocks it, once it was read. */
    fun dismiss() {
        trouble = null
        onChange()
    }

    /** The screen is gone: nothing more is told to it. What was asked is still done. */
    fun leave() {
        left = true
        onChange = {}
    }
}
