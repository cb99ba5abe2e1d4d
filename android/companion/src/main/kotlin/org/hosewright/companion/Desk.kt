package org.hosewright.companion

import java.util.concurrent.Executor
import java.util.concurrent.Executors
import java.util.concurrent.RejectedExecutionException
import java.util.concurrent.TimeUnit
import org.hosewright.core.Logbook
import org.hosewright.core.LogbookInterface
import org.hosewright.core.Moment
import org.hosewright.core.Place
import org.hosewright.core.ProgressListener
import org.hosewright.core.Salvaged
import org.hosewright.core.salvage as saveWhatCanBeRead
import org.hosewright.core.setAsideFiles

/** What a question came to. */
sealed class Outcome<out T> {
    /** It was answered. */
    class Told<T>(val value: T) : Outcome<T>()

    /** It was refused, or something failed: in words, with a way on. */
    class Refused(val trouble: Trouble) : Outcome<Nothing>()
}

/**
 * The record, asked from one thread of its own: calls into the core block, and a
 * screen never waits. Answers are handed over on [main], the thread of screens.
 *
 * The record is opened with the first question, and where that fails it is tried
 * again with the next. After [close] nothing more is told. What blocks and needs
 * no record, as a chip does, is done [beside] it.
 */
class Desk(
    private val place: Place,
    private val today: () -> String,
    private val by: () -> String,
    private val main: Executor,
    private val open: (Place) -> LogbookInterface = { Logbook.open(it) },
) : AutoCloseable {
    private val worker = Executors.newSingleThreadExecutor { Thread(it, "hosewright-record") }

    private val besides = Executors.newSingleThreadExecutor { Thread(it, "hosewright-beside") }

    /** Touched by the worker alone. */
    private var logbook: LogbookInterface? = null

    @Volatile private var closed = false

    /** Asks a question; [told] hears on the thread of screens what it came to. */
    fun <T> ask(question: (LogbookInterface, Moment) -> T, told: (Outcome<T>) -> Unit) =
        on(worker, { question(opened(), Moment(today(), by())) }, told)

    /** Does something without the record, which others can ask in the meantime. */
    fun <T> beside(work: () -> T, told: (Outcome<T>) -> Unit) = on(besides, work, told)

    /** Saves a damaged record: it is closed first, and opened again with the next question. */
    fun salvage(progress: ProgressListener, told: (Outcome<Salvaged>) -> Unit) =
        on(worker, {
            (logbook as? AutoCloseable)?.close()
            logbook = null
            saveWhatCanBeRead(place, progress)
        }, told)

    /** Damaged files that were set aside. */
    fun setAside(told: (Outcome<List<String>>) -> Unit) = on(besides, { setAsideFiles(place) }, told)

    /** Hears on the thread of screens how far something long is. */
    fun progress(heard: (String) -> Unit): ProgressListener =
        object : ProgressListener {
            override fun told(done: ULong, all: ULong, words: String) {
                if (!closed) main.execute { if (!closed) heard(words) }
            }
        }

    private fun <T> on(thread: Executor, work: () -> T, told: (Outcome<T>) -> Unit) {
        try {
            thread.execute {
                val outcome = outcomeOf(work)
                if (!closed) main.execute { if (!closed) told(outcome) }
            }
        } catch (_: RejectedExecutionException) {
            // Closed: the screen that asked is gone.
        }
    }

    private fun opened(): LogbookInterface = logbook ?: open(place).also { logbook = it }

    /** Finishes what was asked before, tells nothing more, and closes the record. */
    override fun close() {
        if (closed) return
        closed = true
        worker.execute {
            (logbook as? AutoCloseable)?.close()
            logbook = null
        }
        worker.shutdown()
        besides.shutdown()
    }

    /** Waits until what was asked before [close] is written. False if it is not by then. */
    fun awaitClosed(seconds: Long): Boolean = worker.awaitTermination(seconds, TimeUnit.SECONDS)
}

/** What something comes to: a refusal of the core in its words, any other failure as a fault. */
internal fun <T> outcomeOf(work: () -> T): Outcome<T> =
    try {
        Outcome.Told(work())
    } catch (failure: Exception) {
        Outcome.Refused(troubleOf(failure))
    } catch (failure: LinkageError) {
        // The library is not there, or is of another version.
        Outcome.Refused(troubleOf(failure))
    }
