"""The texts of the presets of local law in French: translations to be checked, never the law's own words."""

from dataclasses import dataclass

from app.agreement.records import Wording
from app.agreement.withdrawal import READ_ON


@dataclass(frozen=True, slots=True)
class PresetWords:
    """What a region's preset says, in another language.

    Attributes
    ----------
    heading, lien_notice, escrow, complaints, change_rule : str
        As in the preset; empty where that is.
    cancellation : Wording
        The statement beside the signature.
    records : Wording or None
        The words before consent to electronic records, where they come first.
    """

    cancellation: Wording
    records: Wording | None = None
    heading: str = ""
    lien_notice: str = ""
    escrow: str = ""
    complaints: str = ""
    change_rule: str = ""


def _cancellation(text: str, source: str) -> Wording:
    """Make the statement beside the signature."""
    return Wording("cancellation.fr", "Votre droit de rétractation", text, _translated(source))


def _translated(source: str) -> str:
    """Mark a text as a translation of ours."""
    return f"traduction du {READ_ON:%Y-%m-%d}, à vérifier, {source}; check local law"


_THREE_DAYS = (
    "Vous, l’acheteur, pouvez annuler cette opération à tout moment avant minuit du troisième jour ouvré "
    "qui suit sa date. Le formulaire d’annulation joint explique ce droit."
)
_FOURTEEN = (
    "Vous pouvez vous rétracter de ce contrat sous 14 jours sans donner de motif. Le délai expire 14 jours "
    "après le jour de sa conclusion.\n\nPour cela, dites-le nous par une déclaration claire, lettre ou "
    "courriel ; le formulaire joint à cette proposition suffit, comme le bouton de votre page. Il suffit de "
    "l’envoyer avant la fin du délai.\n\nSi vous vous rétractez, nous rendons ce que nous avons reçu de "
    "vous sans retard, sous 14 jours. Nous ne commençons dans ce délai que si vous le demandez par écrit ; "
    "vous payez alors ce qui a été fait jusqu’à votre avis."
)
_RECORDS = Wording(
    "records.fr",
    "Documents électroniques",
    "Avant d’accepter : vous avez droit à ces documents sur papier, maintenant ou plus tard ; demandez-nous "
    "ce que cela coûte. Vous pouvez retirer votre accord à tout moment ; ce qui a été signé avant reste "
    "signé, et la suite vient sur papier. L’accord ne porte que sur ce chantier : proposition, avenants, "
    "avis et factures. Dites-nous quand votre adresse de courriel change. Il vous faut un navigateur et un "
    "programme qui ouvre les fichiers PDF.",
    _translated("d’après 15 USC 7001(c)(1), sur copies"),
)
_IMPROVEMENT = "Contrat d’amélioration de l’habitat"

PRESETS_FR: dict[str, PresetWords] = {
    "us-federal": PresetWords(
        _cancellation(_THREE_DAYS, "d’après la déclaration de 16 CFR 429.1(a), de mémoire"), _RECORDS
    ),
    "us-ca": PresetWords(
        _cancellation(
            "Vous, l’acheteur, avez le droit d’annuler ce contrat sous trois jours ouvrés, cinq si vous "
            "avez 65 ans ou plus. Faites-le par lettre, par courriel ou par téléphone ; adresse et numéro "
            "sont en première page. Voyez le formulaire d’annulation joint.",
            "d’après California BPC 7159, version de 2025, sur copies",
        ),
        _RECORDS,
        heading=_IMPROVEMENT,
        lien_notice="Quiconque aide à améliorer votre bien et n’est pas payé peut y inscrire un privilège. "
        "Complétez cet avis dans les termes du Contractors State License Board, en gras.",
        complaints="Contractors State License Board : complétez adresse, téléphone et site.",
        change_rule="Travaux supplémentaires et modifications n’entrent dans ce contrat que lorsque les deux "
        "ont signé un avenant écrit, avant le travail qu’il couvre.",
    ),
    "us-ny": PresetWords(
        _cancellation(
            "Vous pouvez annuler ce contrat jusqu’à minuit du troisième jour ouvré après le jour de votre "
            "signature, par avis écrit.",
            "d’après New York GBL 771(1), (a) à (d) lus, le reste sur copies",
        ),
        _RECORDS,
        heading=_IMPROVEMENT,
        lien_notice="Un entrepreneur, un sous-traitant ou un fournisseur qui n’est pas payé peut avoir une "
        "créance contre le propriétaire, opposable au bien selon le droit des privilèges.",
        escrow="Ce que vous payez avant l’achèvement est mis sous séquestre dans l’État de New York sous "
        "cinq jours ouvrés, ou garanti par une caution ; nous vous disons la banque sous dix jours. "
        "Complétez nom et adresse de la banque.",
        change_rule="Les modifications se font par écrit et sont signées par toutes les parties.",
    ),
    "us-ma": PresetWords(
        _cancellation(
            _THREE_DAYS, "d’après Massachusetts c. 93 §48 et c. 142A §2, le délai d’annulation de mémoire"
        ),
        _RECORDS,
        heading=_IMPROVEMENT,
        lien_notice="Quiconque travaille à ce chantier ou le fournit et n’est pas payé peut avoir un "
        "privilège sur le bien. Complétez cet avis dans les termes d’un conseil, en gras.",
        complaints="Office of Consumer Affairs : complétez adresse, téléphone et votre numéro d’inscription.",
        change_rule="Les modifications se font par écrit et sont signées par les deux avant le travail "
        "modifié.",
    ),
    "ca-on": PresetWords(
        _cancellation(
            "Vous pouvez annuler cette convention, sans donner de motif, sous dix jours après en avoir reçu "
            "une copie écrite. Si vous l’annulez, nous rendons ce que vous avez payé sous 15 jours.",
            "d’après la loi ontarienne de 2002 par le guide du ministère",
        ),
        complaints="Ministère de la protection du consommateur : complétez adresse et téléphone.",
        change_rule="Le prix final est au plus le devis et dix pour cent, sauf modification que vous signez.",
    ),
    "gb": PresetWords(
        _cancellation(_FOURTEEN, "d’après SI 2013/3134, annexe 3, sur copies"),
        complaints="Complétez : votre procédure de réclamation et un organisme agréé de règlement des "
        "litiges.",
    ),
    "eu": PresetWords(
        _cancellation(_FOURTEEN, "d’après la directive 2011/83/UE, annexe I, de mémoire"),
        complaints="Complétez : un organisme de règlement extrajudiciaire des litiges.",
    ),
    "sg": PresetWords(
        _cancellation(
            "Vous pouvez annuler ce contrat sous cinq jours, sans compter samedis, dimanches et jours "
            "fériés, par avis écrit.",
            "d’après les règlements d’annulation de Singapour",
        ),
    ),
}
