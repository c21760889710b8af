"""The words that stand above the columns of input lists, in six languages, folded as `headings.fold` does.

Common practice, no source: gathered from how lists are usually headed.
"""

from typing import Literal, get_args

Field = Literal["number", "name", "source", "phantom", "level", "stand", "note", "zone", "box", "port", "ignore"]
FIELDS: tuple[Field, ...] = get_args(Field)
"""What a column can be; ``ignore``: known, and nothing that a plan holds."""


def word_set(text: str) -> frozenset[str]:
    """The words, or phrases, that commas part, however the lines are broken."""
    return frozenset(" ".join(word.split()) for word in text.split(","))


PHRASES: dict[Field, frozenset[str]] = {
    "number": word_set(
        """
        #, no, nr, num, nbr, n, n°, number, ch, chan, channel, channels, ch no, ch nr, ch #, channel
        no, input, inputs, in, line, line no, input no, inp, desk ch, desk channel, foh ch, foh,
        kanal, kan, kanalnummer, kanal nr, nummer, lfd nr, eingang, eingangskanal, pult, pultkanal,
        voie, voies, canal, canaux, entree, numero, n canal, numero de voie, tranche, tranches,
        entrada, canales, numero de canal, canale, canali, ingresso, ingressi, ch ingresso,
        kanaalnummer, kanaal, kanalen, ingang, ingangen, lijn, nummer kanaal
        """
    ),
    "name": word_set(
        """
        name, names, label, input name, channel name, ch name, line name, instrument name,
        description, what, name of channel, scribble, desk label, bezeichnung, kanalname, name
        kanal, beschreibung, benennung, beschriftung, was, signal, nom, libelle, designation,
        intitule, nom de voie, etiquette, nombre, nombre de canal, descripcion, etiqueta, senal,
        nome, nome canale, descrizione, etichetta, segnale, naam, omschrijving, kanaalnaam, signaal,
        beschrijving, benaming
        """
    ),
    "source": word_set(
        """
        type, typ, tipo, mic wish, mikro wunsch, mic, mics, mic di, mic or di, di, microphone,
        microphones, mic type, mic model, mike, source type, di mic, input type, mic choice,
        preferred mic, mikrofon, mikrofone, mikro, mikro di, mik, mic typ, mikrofon di, mikrofontyp,
        abnahme, mikrofonierung, micro, micros, micro di, microphone di, capteur, prise de son, type
        de micro, captation, microfono, microfonos, micro o di, tipo de micro, captacion, microfono
        di, microfoni, ripresa, tipo microfono, microfoon, microfoons, microfoon di, type microfoon,
        opname
        """
    ),
    "phantom": word_set(
        """
        fantoom, fantomspeisung, phantom, 48v, 48 v, 48, p48, ph, phantom power, phan, phant,
        phantom 48v, 48v phantom, phantomspeisung, phantomspannung, speisung, alimentation fantome,
        fantome, alim 48v, alim fantome, alimentacion phantom, alimentacion fantasma, fantasma,
        alimentazione phantom, alimentazione fantasma, fantoomvoeding, phantomvoeding, voeding, 48v
        power
        """
    ),
    "level": word_set(
        """
        level, signal level, mic line, mic or line, mic line inst, level type, pegel, pegelart,
        signalart, signaltyp, niveau, type de signal, niveau du signal, nivel, nivel de senal, tipo
        de senal, livello, tipo di segnale, livello segnale, signaalniveau, niveau signaal,
        signaaltype, signal type, mic line level
        """
    ),
    "stand": word_set(
        """
        std, staender, stand, stands, mic stand, stand type, boom, stand clip, clip stand, stativ,
        stative, mikrofonstativ, mikrostativ, stander, pied, pieds, pied de micro, pied micro,
        soporte, soportes, pie, pie de micro, pies, asta, aste, supporto, asta microfono, statief,
        statieven, microfoonstatief, mount, mounting
        """
    ),
    "note": word_set(
        """
        alternativ, alternative, alternativa, alternatief, alt mic, second choice, obs, bem, opm,
        rem, note, notes, comment, comments, remark, remarks, info, additional info, misc, notiz,
        notizen, bemerkung, bemerkungen, kommentar, anmerkung, anmerkungen, hinweis, hinweise,
        sonstiges, remarque, remarques, commentaire, commentaires, observations, observation,
        divers, nota, notas, observaciones, comentario, comentarios, commento, commenti,
        osservazioni, annotazioni, opmerking, opmerkingen, notitie, notities, commentaar
        """
    ),
    "zone": word_set(
        """
        positie op podium, position auf der buhne, posizione palco, posicion en escenario, position
        sur scene, zone, area, side, stage side, seite, cote, position, pos, where, place, location,
        stage position, stage pos, section, group, riser, ort, platz, bereich, buhnenposition,
        gruppe, wo, standort, emplacement, lieu, secteur, groupe, place sur scene, zona, posicion,
        ubicacion, lugar, grupo, seccion, posizione, luogo, gruppo, settore, dove, area palco,
        plaats, plek, positie, groep, waar, locatie, podiumpositie, donde, ou
        """
    ),
    "box": word_set(
        """
        stageblok, podiumblok, stage block, box, stagebox, stage box, sub box, subbox, sub snake,
        subsnake, sub, snake, multicore, multi, drop, drop box, dropbox, patch, stage patch,
        patching, stage rack, stagerack, rack, buhnenbox, unterverteiler, verteiler, boitier,
        boitier de scene, boite de scene, patch scene, sous patch, multipaire, caja, caja de
        escenario, cajetin, manguera, subcaja, scatola, stage box palco, ciabatta, multicavo,
        podiumkast, kast, kastje, subkast, stagekast, doos, sb
        """
    ),
    "port": word_set(
        """
        way, ways, stage input, stage in, stage ch, stage channel, stage port, weg, port, box in,
        box input, box port, box ch, box channel, stagebox in, stagebox input, stagebox ch, stagebox
        port, socket, jack, connector, box no, sub ch, sub in, snake ch, drop ch, multicore ch,
        patch ch, buchse, anschluss, steckplatz, box eingang, box kanal, box nr, prise, entree
        boitier, port boitier, toma, puerto, entrada caja, presa, porta, ingresso box, canale box,
        aansluiting, poort, ingang kast, kast ingang, box out, box output
        """
    ),
    "ignore": word_set(
        """
        mon, colour, color, iem, wireless, frequency, freq, farbe, couleur, kleur, colore, vca, dca,
        eq, gate, comp, compressor, insert, inserts, fx, gain, pad, hpf, low cut, lowcut, fader,
        pan, mute, check, checked, ok, done, date, monitor, mon ch, monitor ch, rec, record,
        broadcast, processing, dynamics, kompressor, dynamique, dynamik, cable length, kabel, cable,
        cavo
        """
    ),
}
"""Whole headings of each field."""

OUTPUT_NUMBERS = word_set(
    """
        output, outputs, out, output no, out no, out nr, mix, mixes, mix no, aux, auxes, aux no,
        bus, send, ausgang, ausgange, ausgang nr, sortie, sorties, salida, salidas, uscita, uscite,
        uitgang, uitgangen, uitgang nr, sends, desk out, out ch, output ch, ausgangskanal
        """
)
"""Headings of the number of an output."""
OUTPUT_NAMES = word_set(
    """
        output name, out name, mix name, aux name, monitor mix, ausgang name, ausgangsname, nom de
        sortie, nom sortie, nombre de salida, nome uscita, naam uitgang, uitgangsnaam, destination,
        ziel, destino, destinazione, bestemming
        """
)
"""Headings of the name of an output."""
EITHER = word_set(
    """
        instr, strum, source, sources, quelle, quellen, instrument, instruments, instrumente,
        fuente, fuentes, instrumento, instrumentos, sorgente, sorgenti, strumento, strumenti, bron,
        bronnen, instrumenten, input source, signalquelle, klangquelle
        """
)
"""Headings above the name in one list and above the microphone in another: the source if there is a name besides."""
INPUT_SECTIONS = word_set(
    """
        input patch, input, inputs, input list, inputlist, inputs list, channels, channel list,
        eingange, eingang, kanalliste, kanalbelegung, belegung, entrees, liste des entrees,
        entradas, lista de entradas, ingressi, lista ingressi, ingangen, ingangslijst, kanalenlijst,
        patch entrees, in, lista de canales, lista canali, inputliste, eingangsliste
        """
)
"""What stands above, or on the tab of, a list of inputs."""
OUTPUT_SECTIONS = word_set(
    """
        output patch, output, outputs, output list, monitor list, iem mixes, outputlist, out, outs,
        ausgange, ausgang, ausgangsliste, outputliste, sorties, sortie, liste des sorties, patch
        sorties, salidas, lista de salidas, uscite, lista uscite, uitgangen, uitgangslijst,
        monitors, monitor mixes, mixes, auxes, monitor, monitore, monitorwege, retours, monitores,
        monitorlijst
        """
)
"""What stands above, or on the tab of, a list of outputs."""
TOTALS = word_set(
    """
        total, totals, sum, count, summe, gesamt, anzahl, total channels, total inputs, somme,
        totaux, nombre total, suma, totale, somma, totaal, aantal, total canales, totale canali,
        gesamtzahl, insgesamt, grand total, total general
        """
)
"""What a row that counts the others begins with."""
