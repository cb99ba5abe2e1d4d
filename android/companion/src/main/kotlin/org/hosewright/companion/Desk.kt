package org.hosewright.companion

import java.util.concurrent.Executor
import java.util.concurrent.Executors
import java.util.concurrent.RejectedExecutionException
import java.util.concurrent.TimeUnit
import org.hosewright.core.PhoneRecord as Record
import org.hosewright.core.Place

/**
 * The record, asked from one thread of its own in the order of touches: calls into
 * the core block, and a screen never waits. What came of them is handed over on
 * [main], the thread of screens. After [close] nothing more is told. What blocks
 * and needs no record, as a chip does, is done [beside] it.
 */
class Desk(place: Place, private val today: () -> String, private val main: Executor) : AutoCloseable {
    private val record by lazy { Record(place) }
    private val worker = Executors.newSingleThreadExecutor { Thread(it, "hosewright-record") }
    private val besides = Executors.newSingleThreadExecutor { Thread(it, "hosewright-beside") }

    @Volatile private var closed = false

    /** Asks something of the record; [told] hears on the thread of screens what it came to. */
    fun <T> ask(question: (Record, String) -> T, told: (Result<T>) -> Unit) =
        on(worker, { question(record, today()) }, told)

    /** Does something without the record, which others can ask in the meantime. */
    fun <T> beside(work: () -> T, told: (Result<T>) -> Unit) = on(besides, work, told)

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
        worker.shutdown()
        besides.shutdown()
    }

    /** Waits until what was asked before [close] is written. False if it is not by then. */
    fun awaitClosed(seconds: Long): Boolean = worker.awaitTermination(seconds, TimeUnit.SECONDS)
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
