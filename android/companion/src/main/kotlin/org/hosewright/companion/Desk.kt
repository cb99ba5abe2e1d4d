package org.hosewright.companion

import java.util.concurrent.Executor
import java.util.concurrent.Executors
import java.util.concurrent.RejectedExecutionException
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicBoolean
import org.hosewright.core.PhoneRecord as Record
import org.hosewright.core.Place
import org.hosewright.core.Touch

/**
 * The record, asked from one thread of its own in the order of touches: calls into
 * the core block, and a screen never waits. What came of them is handed over on
 * [main], the thread of screens. After [close] nothing more is told. What blocks
 * and needs no record, as a chip does, is done [beside] it; what waits for a network
 * has threads of its own, since whoever scans does not wait for one.
 */
class Desk(place: Place, private val today: () -> String, private val main: Executor) : AutoCloseable {
    private val record by lazy { Record(place) }
    private val worker = Executors.newSingleThreadExecutor { Thread(it, "hosewright-record") }
    private val besides = Executors.newSingleThreadExecutor { Thread(it, "hosewright-beside") }

    /** Where counters are met that a person asks for, and those that nobody asks for. */
    private val calls = Executors.newSingleThreadExecutor { Thread(it, "hosewright-calls") }
    private val unasked = Executors.newSingleThreadExecutor { Thread(it, "hosewright-unasked") }
    private val meets = AtomicBoolean()

    /** The page that a person looks at. */
    private var looked: Screen? = null

    @Volatile private var closed = false

    /** Asks something of the record; [told] hears on the thread of screens what it came to. */
    fun <T> ask(question: (Record, String) -> T, told: (Result<T>) -> Unit) =
        on(worker, { question(record, today()) }, told)

    /** Does something without the record, which others can ask in the meantime. */
    fun <T> beside(work: () -> T, told: (Result<T>) -> Unit) = on(besides, work, told)

    /** Asks something that waits for a network, and keeps the record from nobody. */
    fun <T> call(question: (Record, String) -> T, told: (Result<T>) -> Unit) =
        on(calls, { question(record, today()) }, told)

    /** A person looks at a page, for the first time or again. */
    internal fun looks(at: Screen) {
        looked = at
        meetByItself()
    }

    /** A person looks at a page no more. */
    internal fun left(page: Screen) {
        if (looked !== page) return
        looked = null
        meetByItself()
    }

    /** Meets counters where the core says that it is time; one after another, however often it is called. */
    private fun meetByItself() {
        if (closed || !meets.compareAndSet(false, true)) return
        try {
            unasked.execute {
                val new = outcomeOf { record.meetByItself(today()) }.getOrDefault(false)
                meets.set(false)
                if (new) tell { looked?.touch(Touch.CameIn) }
            }
        } catch (_: RejectedExecutionException) {
            // Closed meanwhile.
        }
    }

    /** Tells something on the thread of screens. */
    fun tell(what: () -> Unit) {
        if (!closed) main.execute { if (!closed) what() }
    }

    private fun <T> on(thread: Executor, work: () -> T, told: (Result<T>) -> Unit) {
        try {
            thread.execute {
                val outcome = outcomeOf(work)
                tell { told(outcome) }
            }
        } catch (_: RejectedExecutionException) {
            // Closed: the screen that asked is gone.
        }
    }

    /** Finishes what was asked before, tells nothing more, and closes the record. */
    override fun close() {
        if (closed) return
        closed = true
        worker.execute { outcomeOf { record.letGo() } }
        listOf(worker, besides, calls, unasked).forEach { it.shutdown() }
    }

    /** Waits until what was asked before [close] is written. False if it is not by then. */
    fun awaitClosed(seconds: Long): Boolean =
        listOf(worker, calls, unasked).all { it.awaitTermination(seconds, TimeUnit.SECONDS) }
}

/** What something comes to; a library that is not there, or is of another version, is a failure too. */
internal fun <T> outcomeOf(work: () -> T): Result<T> =
    try {
        Result.success(work())
    } catch (failure: Exception) {
        Result.failure(failure)
    } catch (failure: LinkageError) {
        Result.failure(failure)
    }
